"""A fake: a speaker for a bay whose clock is moved by hand. By that clock nothing has sounded for an hour."""

from __future__ import annotations

from assistant.voice.speaking.speaker import CardSpeaker


class QuietSpeaker(CardSpeaker):
    """The real one in all but this: it does not measure its silence by the computer's clock."""

    def quiet_s(self) -> float:
        """Return an hour [s]."""
        return 3600.0
