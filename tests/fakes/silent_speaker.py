"""A fake: a loudspeaker that nobody hears, for tests in which only the order of what is kept and said counts."""

from collections.abc import Iterable

from assistant.events import Adjust, ToneKind


class SilentSpeaker:
    """Takes everything that a speaker takes, at once, and is never sounding."""

    def say(self, text: str, *, cut: bool = True) -> None:
        """Take a sentence."""

    def tone(self, kind: ToneKind) -> None:
        """Take a tone."""

    def hush(self) -> None:
        """Take the wish for silence."""

    def adjust(self, change: Adjust) -> bool:
        """Take the turn of a knob, which has no end."""
        return True

    def expect(self, texts: Iterable[str]) -> None:
        """Take what may be said next."""

    def is_sounding(self) -> bool:
        """Say that nothing sounds."""
        return False

    def quiet_s(self) -> float:
        """Say that it was silent for long."""
        return 3600.0

    def seconds_left(self) -> float:
        """Say that nothing sounds any more."""
        return 0.0

    def unsaid(self, ago_s: float) -> str:
        """Say that all was said."""
        return ""

    def close(self) -> None:
        """Have nothing to free."""
