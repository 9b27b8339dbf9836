"""Voices that break or hang when they are told to: the one thing that a real engine cannot be asked to do."""

from __future__ import annotations

import threading
from collections.abc import Callable

from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import Samples, Synthesiser, VoiceFault


def failed() -> Exception:
    """Return the fault that an engine tells of itself."""
    return VoiceFault("The speech engine failed.")


class BreakingVoice:
    """Speaks with a real voice, except that every sentence with the word ``word`` in it breaks the engine."""

    def __init__(self, voice: Synthesiser, word: str, fault: Callable[[], Exception] = failed) -> None:
        """Speak with ``voice`` and break on ``word`` with what ``fault`` makes."""
        self._voice, self._word, self._fault = voice, word, fault

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return what the real voice makes of ``text``.

        Raises:
            VoiceFault: ``text`` has the word in it (or what else ``fault`` makes).
        """
        if self._word in text:
            raise self._fault()
        return self._voice.render(text, rate=rate, rate_hz=rate_hz)

    def close(self) -> None:
        """Free the real voice."""
        self._voice.close()


class HangingVoice(Pyttsx3Synthesiser):
    """The default voice, except that a sentence with the word "hang" never ends: made in a process of its own."""

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text``; wait for ever when it says "hang"."""
        if "hang" in text:
            threading.Event().wait()
        return super().render(text, rate=rate, rate_hz=rate_hz)


class OddVoice(Pyttsx3Synthesiser):
    """The default voice, except that a sentence with the word "crank" raises a ValueError: for a process of its own."""

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text``.

        Raises:
            ValueError: it says "crank".
        """
        if "crank" in text:
            raise ValueError("odd phoneme")
        return super().render(text, rate=rate, rate_hz=rate_hz)
