"""At which time a job goes on: by the machine's steady clock as far as it reaches, never before its last entry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.clock import STEP_S, SteadyClock, this_start
from assistant.facts.inputs import ClockSet, Opened, Resumed, SetWhen, Start
from assistant.journal.port import Entry


@dataclass(frozen=True, slots=True)
class Resuming:
    """When a job goes on [s since the epoch], and by how much the computer's clock was set meanwhile [s], or 0.

    ``start`` goes into the entry, for the next time.
    """

    now: float
    by_s: float = 0.0
    start: Start | None = None


def started(clock: SteadyClock, boot: str | None = None) -> Start:
    """Return what a job keeps of the clocks of the program that begins or resumes it.

    ``boot`` names the start of the machine; None is the present one.
    """
    return Start(this_start() if boot is None else boot, clock.steady_ms(), clock.wall_ms())


def resuming(entries: Sequence[Entry], clock: SteadyClock, boot: str | None = None) -> Resuming:
    """Return when the job with ``entries`` goes on, and let ``clock`` go on from there.

    While the machine was not started anew (``boot`` is the name of its present start), its steady clock knows how much
    time has passed, whatever the computer's clock was set to. After a new start there is only the computer's clock; it
    was set when it is behind the last entry.
    """
    start = started(clock, boot)
    last = entries[-1].at_ms
    base, then = _last_start(entries)
    if then is not None and start.boot and then.boot == start.boot:
        passed = start.boot_ms - then.boot_ms
        steps = [entry.fact for entry in entries[base:] if entry.seq > entries[base].seq]
        known = sum(fact.by_ms for fact in steps if isinstance(fact, ClockSet) and fact.when is SetWhen.RUNNING)
        by = start.wall_ms - (then.wall_ms + passed + known)
        now = max(entries[base].at_ms + passed, last)
    else:
        by = min(0, start.wall_ms - last)
        now = max(start.wall_ms, last)
    clock.begin_at(now / 1000)
    return Resuming(now / 1000, by / 1000 if abs(by) >= STEP_S * 1000 else 0.0, start)


def _last_start(entries: Sequence[Entry]) -> tuple[int, Start | None]:
    """Return the index of the last entry that tells of the clocks, and what it tells."""
    for place in range(len(entries) - 1, -1, -1):
        fact = entries[place].fact
        if isinstance(fact, Opened | Resumed) and fact.start is not None and fact.start.boot:
            return place, fact.start
    return 0, None
