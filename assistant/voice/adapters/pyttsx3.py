"""The default voice: pyttsx3, with espeak-ng underneath. The one adapter of pyttsx3.

``say`` of pyttsx3 would start a player and block until it ends, so sentences are rendered to memory instead and played
by our own sound card adapter.
"""

from __future__ import annotations

import io
import re
import sys
import threading
import wave
from typing import Any

import numpy as np

from assistant.voice.ports import Samples, VoiceFault
from assistant.voice.speaking.polish import polish

NO_ENGINE = (
    "The speech engine espeak-ng is not installed; install the Debian packages espeak-ng and libespeak-ng1 "
    "(sudo apt-get install espeak-ng libespeak-ng1) and start again."
)
DEFAULT_VOICE = "gmw/en-us"

_engine_lock = threading.Lock()  # espeak-ng keeps one state for the whole process


class Pyttsx3Synthesiser:
    """Renders sentences with espeak-ng through pyttsx3; about 10 ms a sentence."""

    def __init__(self, voice: str = "") -> None:
        """Take the voice ``voice``: an id or part of a name from ``voices()``; empty takes the default.

        A variant of the engine may follow after a plus sign, for example ``en-us+f3``.

        Raises:
            VoiceFault: espeak-ng is not installed or does not start, or there is no such voice, or more than one.
        """
        with _engine_lock:
            self._engine, self._broken = _start_engine()
            base, plus, variant = (voice or DEFAULT_VOICE).partition("+")
            self._voice = _find_voice(self._engine, base) + plus + variant
        self.render("Ready.", rate=165, rate_hz=22_050)  # a voice that cannot speak is known now, not in mid job

    @property
    def voice(self) -> str:
        """The id of the voice that speaks."""
        return self._voice

    def voices(self) -> tuple[str, ...]:
        """Return the ids of the English voices that are installed, in rising order."""
        with _engine_lock:
            return tuple(sorted(_voices(self._engine)))

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,).

        Raises:
            VoiceFault: the engine broke.
        """
        if not any(letter.isalnum() for letter in text):
            return np.zeros(0, dtype=np.int16)
        with _engine_lock:
            file = self._spoken(text, rate)
        with wave.open(file) as sound:
            samples = np.frombuffer(sound.readframes(sound.getnframes()), dtype=np.int16)
            return polish(samples, sound.getframerate(), rate_hz)

    def close(self) -> None:
        """Have nothing to free: the engine serves the whole process."""

    def _spoken(self, text: str, rate: int) -> io.BytesIO:
        """Let the engine speak into a file in memory; it keeps its complaints to itself, so they are collected."""
        self._broken.clear()
        file = io.BytesIO()
        self._tune(rate)
        self._engine.save_to_file(text, file)
        self._engine.runAndWait()  # it may wait for ever; who started this process can end it then
        if self._broken:
            self._engine.tuned = None
            raise VoiceFault(f"The speech engine failed ({self._broken[0]}); choose another voice or restart.")
        if not file.getbuffer():
            raise VoiceFault(f'The speech engine gave no sound for "{text[:60]}"; restart the assistant.')
        file.seek(0)
        return file

    def _tune(self, rate: int) -> None:
        """Give the engine the voice and the rate, when it has others."""
        if vars(self._engine).get("tuned") != (self._voice, rate):
            self._engine.setProperty("voice", self._voice)
            self._engine.setProperty("rate", rate)
            self._engine.tuned = (self._voice, rate)
        # The engine takes these orders on a thread of its own, and the driver's loop begins with a "stop" that would
        # throw away what is not carried out yet. So wait until it is.
        sys.modules["pyttsx3.drivers._espeak"].Synchronize()


def _start_engine() -> tuple[Any, list[Exception]]:
    try:
        import pyttsx3  # noqa: PLC0415 - importing it loads the engine's library, which may be missing

        engine = pyttsx3.init("espeak")
    except (RuntimeError, OSError, ImportError, AttributeError) as fault:
        raise VoiceFault(NO_ENGINE) from fault
    # The driver prints a line for every file that it saves; ours would litter the dialogue. Only its own print goes.
    vars(sys.modules["pyttsx3.drivers.espeak"])["print"] = lambda *_args, **_names: None
    broken: list[Exception] = []
    engine.connect("error", lambda exception, **_more: broken.append(exception))
    # A new engine counts as busy until its first loop, and would carry out all that it was told before only then, the
    # loop's own "stop" among it: that could throw away the voice, the rate or the sentence. So it is freed first.
    engine.proxy.setBusy(False)
    sys.modules["pyttsx3.drivers._espeak"].Synchronize()
    return engine, broken


def _voices(engine: Any) -> dict[str, tuple[str, ...]]:
    """Return id -> what else the voice is called, for each English voice that needs no other program's data."""
    found = {}
    for voice in engine.getProperty("voices"):
        number = str(voice.id)
        if re.match(r"(?!mb/|!v/).*/en\b", number):
            languages = [str(language).lower() for language in voice.languages or ()]
            found[number] = (number.rpartition("/")[2], str(voice.name).lower(), *languages)
    return found


def _find_voice(engine: Any, wanted: str) -> str:
    voices = _voices(engine)
    key = wanted.strip().lower().replace("_", "-")
    exact = [number for number, names in voices.items() if key in (number, *names)]
    near = [number for number, names in voices.items() if any(key in name for name in (number, *names))]
    found = exact or near
    if len(found) == 1:
        return found[0]
    known = ", ".join(sorted(names[0] for names in voices.values()))
    if not found:
        raise VoiceFault(f'There is no voice "{wanted}"; the English ones are {known}.')
    several = ", ".join(sorted(voices[number][0] for number in found))
    raise VoiceFault(f'"{wanted}" fits several voices ({several}); give one of them in full.')
