"""When a piece of a phone's sound was heard, and what of it is missing or comes too late. Pure.

The network delivers in order, but in bursts. The piece that came soonest after it was heard tells how the phone's own
time lies to ours; from there each piece has its time by its number, whenever it came. That costs no delay, as holding
sound back until it comes evenly would: a recogniser may be given its blocks in bursts.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.phone.framing import PIECE_S

TOO_LATE_S = 1.0
"""A piece that comes so much later than the soonest one [s] is left out: an old word must not act on a newer step."""
HOLE_S = 0.5
"""At most so much silence stands where sound is missing [s]: enough that two halves never make one word (an utterance
ends there), and no more, for it takes the recogniser's time."""
_ANEW_S = 1.0
"""Where all pieces are late for so long [s], they are not late: the phone's microphone had stopped for a while."""
_DRIFT = 0.001
"""How far the mean runs after a phone's clock that is too slow, per second: ten times what a poor crystal is off by
(100 in a million; common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """What becomes of a piece: ``heard_at`` is when its last sample was [s since the epoch]; None: it is left out.

    ``holes`` are pieces of silence to put before it, ``lost`` those that are missing, this one among them if it is out.
    """

    heard_at: float | None
    holes: int = 0
    lost: int = 0


class Arrivals:
    """Looks at the numbers of the pieces of one connection, in the order in which they come."""

    def __init__(self) -> None:
        """Wait for the first."""
        self._zero: float | None = None
        """When the piece with number 0 ended, by the soonest piece [s since the epoch]."""
        self._last = -1
        self._seen_at = 0.0
        self._left_out = 0
        self._late_since: float | None = None

    def take(self, number: int, now: float) -> Arrival:
        """Take the piece ``number``, which came at ``now`` [s since the epoch]; a number that was had is left out."""
        came = now - number * PIECE_S
        if self._zero is None:
            self._zero, self._last, self._seen_at = came, number - 1, now
        if number <= self._last:
            return Arrival(None)
        drifted = self._zero + _DRIFT * max(0.0, now - self._seen_at)
        self._zero = min(came, drifted)
        missing, self._last, self._seen_at = number - self._last - 1, number, now
        if came - self._zero > TOO_LATE_S:
            self._late_since = now if self._late_since is None else self._late_since
            if now - self._late_since <= _ANEW_S:
                self._left_out += missing + 1
                return Arrival(None, lost=missing + 1)
            self._zero = came
        self._late_since = None
        out, self._left_out = self._left_out, 0
        holes = min(missing + out, round(HOLE_S / PIECE_S))
        return Arrival(self._zero + number * PIECE_S, holes, missing)
