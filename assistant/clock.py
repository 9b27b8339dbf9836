"""The time of day for one process: read once, and carried on by a clock that never steps.

The computer's clock is set by hand, by a time service, or starts in 1970 where a battery is missing. Everything that
one process compares (when a word was said, when a read-back ends, when a timer is over) is on this clock instead.
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from pathlib import Path

STEP_S = 2.0
"""From this difference on the computer's clock has been set; a time service that only slews moves it by less than
0.5 ms in a second (adjtimex(2) and the kernel's limit of 500 parts in a million, from memory)."""
_BOOT = Path("/proc/sys/kernel/random/boot_id")


def steady() -> float:
    """Return seconds since the start of the machine, its sleep included, that nobody can set."""
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if boot is None else time.clock_gettime(boot)


def this_start() -> str:
    """Return a short name for the present start of the machine, the same until it starts anew; "" where none is known.

    It is made from the kernel's own random number of the start, and tells nothing else of the machine.
    """
    try:
        return hashlib.sha256(_BOOT.read_bytes().strip()).hexdigest()[:16]
    except OSError:
        return ""


class SteadyClock:
    """Seconds since the epoch, taken from the wall at first and carried on by a steady clock."""

    def __init__(self, wall: Callable[[], float] = time.time, steady: Callable[[], float] = steady) -> None:
        """Begin with what ``wall`` tells now [s since the epoch]; ``steady`` tells seconds that never step."""
        self._wall, self._steady = wall, steady
        self._ahead_s = wall() - steady()
        self._wall_s = self._ahead_s

    def now(self) -> float:
        """Return the time [s since the epoch], to the millisecond, as the journal keeps it; never less than before."""
        return round((self._steady() + self._ahead_s) * 1000) / 1000

    def steady_ms(self) -> int:
        """Return the steady clock itself [ms since the start of the machine]."""
        return round(self._steady() * 1000)

    def wall_ms(self) -> int:
        """Return what the computer's clock tells [ms since the epoch], whatever it was set to."""
        return round(self._wall() * 1000)

    def begin_at(self, at: float) -> None:
        """Go on from ``at`` [s since the epoch] where that is the better time of now: a job's own."""
        self._ahead_s = at - self._steady()

    def begin_by_the_wall(self) -> None:
        """Go on from what the computer's clock tells now: behind a job, whose own time may be another one."""
        self._ahead_s = self._wall() - self._steady()

    def let_pass(self, seconds: float) -> None:
        """Return when so many seconds have passed."""
        time.sleep(seconds)

    def step(self) -> float:
        """Return by how many seconds the wall was set since the last question (back is negative); 0 when it was not.

        Ask every few seconds: a clock that is only slewed then never adds up to a step.
        """
        offset = self._wall() - self._steady()
        if abs(offset - self._wall_s) >= STEP_S:
            offset = self._wall() - self._steady()  # the program may have been stopped between the two questions
        by, self._wall_s = offset - self._wall_s, offset
        return by if abs(by) >= STEP_S else 0.0
