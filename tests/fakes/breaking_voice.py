"""A voice that breaks when it is told to: the one thing that a real engine cannot be asked to do."""

from __future__ import annotations

from assistant.voice.ports import Samples, Synthesiser, VoiceFault


class BreakingVoice:
    """Speaks with a real voice, except that every sentence with the word ``word`` in it breaks the engine."""

    def __init__(self, voice: Synthesiser, word: str) -> None:
        """Speak with ``voice`` and break on ``word``."""
        self._voice, self._word = voice, word

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return what the real voice makes of ``text``.

        Raises:
            VoiceFault: ``text`` has the word in it.
        """
        if self._word in text:
            raise VoiceFault("The speech engine failed.")
        return self._voice.render(text, rate=rate, rate_hz=rate_hz)
