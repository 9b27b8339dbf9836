"""The time of a talk: it passes as the talk and the answers to it say, as fast as the machine can, or in real time."""

from __future__ import annotations

import time


class TalkClock:
    """The clock of one rehearsal."""

    def __init__(self, at: float, *, real_time: bool = False) -> None:
        """Begin at ``at`` [s since the epoch]; in ``real_time`` it is no faster than the clock on the wall."""
        self.at = at
        """The time to the sample [s since the epoch]."""
        self._ahead_s = at - time.monotonic() if real_time else None

    def now(self) -> float:
        """Return the time [s since the epoch], in whole milliseconds, as the journal keeps it."""
        return round(self.at * 1000) / 1000

    def step(self) -> float:
        """Return zero: nobody sets this clock but the talk itself."""
        return 0.0

    def go_to(self, at: float) -> None:
        """Let it be ``at``, never earlier than it was; in real time, wait until it is."""
        self.at = max(self.at, at)
        if self._ahead_s is not None:
            time.sleep(max(0.0, self.at - time.monotonic() - self._ahead_s))

    def let_pass(self, seconds: float) -> None:
        """Let so many seconds pass."""
        self.go_to(self.at + seconds)
