"""Speaks to nobody, in the time that speech takes: for a rehearsal that is typed, without an engine or a sound card."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from assistant.events import Adjust, ToneKind, VoiceKnob
from assistant.voice.speaking.rendering import breath_groups, turned_rate, turned_volume
from assistant.voice.speaking.saying import Saying


class TimedSpeaker:
    """A speaker without sound: every word of what it says takes its time on the clock that it is given."""

    def __init__(self, clock: Callable[[], float], *, rate: int = 150, volume: float = -3.0) -> None:
        """Speak ``rate`` words per minute at the times [s] that ``clock`` tells; ``volume`` is in decibels.

        150 words a minute, a usual rate of reading aloud (common practice, no source), is also what the session
        reckons with when it waits for an answer to what it read out.
        """
        self._clock = clock
        self._rate, self._volume = rate, volume
        self._saying = Saying()
        self._newest = 0
        self._ends_at = clock()
        self._ends: list[tuple[int, int, float]] = []
        """Utterance and number of each sentence that is being said or waits, and when it will have been spoken."""

    def say(self, text: str, *, cut: bool = True) -> None:
        """Speak ``text``; with ``cut`` stop what is being said and forget what is queued."""
        if cut:
            self.hush()
        self._newest += 1
        parts = breath_groups(text)
        self._saying.asked(self._newest, parts, cut=cut)
        self._ends_at = max(self._ends_at, self._clock())
        for number, part in enumerate(parts):
            self._ends_at += len(part.split()) * 60 / self._rate
            self._ends.append((self._newest, number, self._ends_at))

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone, which takes no time."""

    def hush(self) -> None:
        """Stop speaking now and forget what is queued."""
        self._note_ended()
        self._ends.clear()
        self._ends_at = self._clock()

    def unsaid(self, ago_s: float) -> str:
        """Return the sentences that had not been spoken to their end ``ago_s`` seconds ago, hushed ones too."""
        self._note_ended()
        return self._saying.unsaid(self._clock() - ago_s)

    def _note_ended(self) -> None:
        now = self._clock()
        for utterance, number, at in self._ends:
            if at <= now:
                self._saying.ended(utterance, number, at)
        self._ends = [one for one in self._ends if one[2] > now]

    def adjust(self, change: Adjust) -> bool:
        """Turn a knob for all that is said from now on; return False where it is at its end already."""
        before = self._volume, self._rate
        if change.knob is VoiceKnob.VOLUME:
            self._volume = turned_volume(self._volume, change.steps)
        else:
            self._rate = turned_rate(self._rate, change.steps)
        return (self._volume, self._rate) != before

    def expect(self, texts: Iterable[str]) -> None:
        """Do nothing: there is nothing to render."""

    def is_sounding(self) -> bool:
        """Return whether something is being said now."""
        return self.seconds_left() > 0

    def quiet_s(self) -> float:
        """Return for how long nothing has been said [s]; 0 while something is."""
        return max(0.0, self._clock() - self._ends_at)

    def seconds_left(self) -> float:
        """Return how long it takes until all that was asked for is said, in seconds."""
        return max(0.0, self._ends_at - self._clock())

    def close(self) -> None:
        """Have nothing to free."""
