"""Writes down free speech, the optional extra ``notes``. The one adapter of moonshine-voice.

Its small English model lies inside the wheel of the version that is locked, and nothing is ever fetched from the
network. Its native code can take its process with it (it does so when that ends in an orderly way), so it runs in one
of its own.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import RATE, Samples, VoiceFault

NO_WRITER = (
    "The extra for notes is not installed, so notes and unsure words are heard less well; install it "
    "(pip install 'step-assistant[notes]')."
)
MOST_S = 12.0
"""The model was made for short pieces: longer sound [s] is cut where it is quietest, in the second half of this."""
_OPTIONS = {
    "vad_threshold": "0",  # what is given is speech already; with a detector of its own it hears words in pauses
    "vad_max_segment_duration": "60",
    "identify_speakers": "false",
    "return_audio_data": "false",
}
_QUIET_S = 0.2


class MoonshineWriter:
    """Writes down what was said; one instance serves one thread."""

    def __init__(self) -> None:
        """Load the model inside the package.

        Raises:
            VoiceFault: the extra is not installed, or does not load.
        """
        if not writer_is_installed():
            raise VoiceFault(NO_WRITER)
        try:
            from moonshine_voice.moonshine_api import ModelArch  # noqa: PLC0415 - it may be missing
            from moonshine_voice.transcriber import Transcriber  # noqa: PLC0415
            from moonshine_voice.utils import get_model_path  # noqa: PLC0415

            folder = Path(get_model_path("tiny-en"))
            self._engine = Transcriber(str(folder), ModelArch.TINY, options=_OPTIONS)
        except Exception as fault:  # its own class, or whatever a broken installation raises
            raise VoiceFault(
                f"The extra for notes does not load ({type(fault).__name__}), so notes and unsure words are heard "
                "less well; install it again (pip install --force-reinstall 'step-assistant[notes]')."
            ) from fault

    def write(self, samples: Samples) -> str:
        """Return the words of ``samples``, shape (n,), as they would be written; "" where there are none."""
        sound = (samples / 32768).astype(np.float32)
        return " ".join(filter(None, map(self._piece, pieces(sound))))

    def _piece(self, sound: npt.NDArray[np.float32]) -> str:
        told = self._engine.transcribe_without_streaming(sound.tolist(), RATE)
        return " ".join(line.text.strip() for line in told.lines if line.text.strip())

    def close(self) -> None:
        """Free the model."""
        self._engine.close()


def writer_is_installed() -> bool:
    """Return whether the extra is there."""
    return importlib.util.find_spec("moonshine_voice") is not None


def pieces(sound: npt.NDArray[np.float32], most_s: float = MOST_S) -> list[npt.NDArray[np.float32]]:
    """Cut ``sound``, shape (n,), into pieces of at most ``most_s`` seconds, where it is quietest."""
    most, window = round(most_s * RATE), round(_QUIET_S * RATE)
    cut = []
    while sound.size > most:
        so_far = np.cumsum(sound[most // 2 : most].astype(np.float64) ** 2)
        end = most // 2 + int(np.argmin(so_far[window:] - so_far[:-window])) + window // 2
        cut.append(sound[:end])
        sound = sound[end:]
    return [*cut, sound] if sound.size else cut
