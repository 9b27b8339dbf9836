"""How long the job was worked on, as whoever asks is told: from the first word on, without pauses and interruptions.

It goes by the times of what was heard, since a state knows no other time: so it is told as about so long. The record
has the time of every entry, and tells it exactly.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class TimeSpent:
    """When the first and the last words were heard [ms], and how much of the time between nobody worked [ms].

    ``gone``: the program was off since the last words.
    """

    since_ms: int = 0
    last_ms: int = 0
    away_ms: int = 0
    gone: bool = False

    def heard(self, started_ms: int, ended_ms: int, *, away: bool) -> TimeSpent:
        """Return it behind words that were heard from ``started_ms`` to ``ended_ms``; ``away``: nobody worked since."""
        if not self.since_ms:
            return TimeSpent(started_ms, ended_ms)
        more = max(0, ended_ms - self.last_ms) if away or self.gone else 0
        return TimeSpent(self.since_ms, max(self.last_ms, ended_ms), self.away_ms + more)

    def left(self) -> TimeSpent:
        """Return it behind a time in which the program was off."""
        return replace(self, gone=True)

    @property
    def seconds(self) -> int:
        """Return how long it was worked on until the last words [s]."""
        return round((self.last_ms - self.since_ms - self.away_ms) / 1000)
