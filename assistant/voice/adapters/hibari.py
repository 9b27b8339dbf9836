"""A small natural voice, the optional extra ``natural``. The one adapter of hibari-tts.

Its default voice lies inside its wheel. Other voices of it are used only when their files are already on this computer:
nothing is ever fetched from the network.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np

from assistant.voice.ports import Samples, VoiceFault
from assistant.voice.speaking.polish import polish

NOT_INSTALLED = (
    "The natural voice is not installed; install the extra (pip install 'step-assistant[natural]') "
    "or choose the synthesiser pyttsx3."
)
NATURAL_RATE = 190
"""Words per minute of connected speech at the engine's own pace (measured on a sentence of 26 words)."""
_SLOWEST, _FASTEST = 0.5, 2.0


class NaturalSynthesiser:
    """Renders sentences with a small neural voice; about a sixtieth of the time that they last."""

    def __init__(self, voice: str = "") -> None:
        """Take the voice ``voice``, one of ``voices()``; empty takes the one inside the package (American).

        Raises:
            VoiceFault: the extra is not installed, the voice is unknown, or its file is not on this computer.
        """
        if not is_installed():
            raise VoiceFault(NOT_INSTALLED)
        from hibari import Hibari  # noqa: PLC0415 - it takes half a second to load and may be missing
        from hibari.voices import DEFAULT  # noqa: PLC0415

        self._voice = voice or DEFAULT
        path = _model_path(self._voice)
        try:
            self._engine = Hibari(voice=self._voice, model=str(path))
            self.render("Ready.", rate=NATURAL_RATE, rate_hz=24_000)  # the first sentence loads half a second of tables
        except (OSError, RuntimeError, ValueError) as fault:
            raise VoiceFault(
                f"The natural voice could not be loaded from {path} ({fault}); choose the synthesiser pyttsx3."
            ) from fault

    @property
    def voice(self) -> str:
        """The name of the voice that speaks."""
        return self._voice

    def voices(self) -> tuple[str, ...]:
        """Return the names of the voices whose files are on this computer, in rising order."""
        return _here()

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,)."""
        if not any(letter.isalnum() for letter in text):
            return np.zeros(0, dtype=np.int16)
        speed = min(_FASTEST, max(_SLOWEST, rate / NATURAL_RATE))
        sound = self._engine(text, speed=speed, seed=0)
        samples = np.asarray(np.rint(np.clip(sound, -1.0, 1.0) * 32767), dtype=np.int16)
        return polish(samples, self._engine.sample_rate, rate_hz)

    def close(self) -> None:
        """Have nothing to free: the engine goes with its last user."""


def is_installed() -> bool:
    """Return whether the extra is there."""
    return importlib.util.find_spec("hibari") is not None


def _here() -> tuple[str, ...]:
    from hibari.voices import VOICES  # noqa: PLC0415

    return tuple(sorted(name for name in VOICES if _file_of(name).is_file()))


def _file_of(name: str) -> Path:
    from hibari.voices import ASSETS, VOICES, cache_dir  # noqa: PLC0415

    return Path(ASSETS if VOICES[name].get("bundled") else cache_dir()) / str(VOICES[name]["file"])


def _model_path(name: str) -> Path:
    from hibari.voices import VOICES  # noqa: PLC0415

    if name not in VOICES:
        raise VoiceFault(f'There is no natural voice "{name}"; on this computer there are {", ".join(_here())}.')
    path = _file_of(name)
    if not path.is_file():
        raise VoiceFault(
            f'The natural voice "{name}" is not on this computer; copy its file to {path} or take {", ".join(_here())}.'
        )
    return path
