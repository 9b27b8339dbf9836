"""The clock of a job: whose time went where. A pure fold of its entries, on the clock of the job, which never steps.

Every moment from the opening to the closing (or to the last entry) counts once, in milliseconds:

- *away*: a pause, a hand-over that nobody had taken yet, or an interruption, as ``times.py`` has them;
- *waiting*: the job stands at a step that waits for a timer, while that timer runs. Who works on elsewhere meanwhile
  stands at another step, and does not wait;
- *extra*: the job stands in a branch that had to be granted, wherever it was begun from;
- *own*: all the rest, detours too: the work of the job itself.

It belongs to who works on the job then, as the names were given. A second person who only watched or helped is in the
journal by name and not by time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from assistant.facts import Fact
from assistant.facts.going import Arrived, Closed
from assistant.facts.inputs import Resumed
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.facts.steps import TimerEnded, TimerRunsOn, TimerStarted, TimerStopped
from assistant.facts.taking_back import TimerAsBefore
from assistant.journal.port import Entry
from assistant.procedure.model import Procedure
from assistant.procedure.only_if import turnings
from assistant.report.record.model import ClockLine
from assistant.report.record.times import idle_spans, worked_between
from assistant.session.places import OfferPlace, StepPlace, branch_key, places_of


@dataclass(frozen=True, slots=True)
class PersonClock:
    """The time of one person ("" where no name was given) on the job [ms]."""

    person: str
    own: int = 0
    extra: int = 0
    waiting: int = 0
    away: int = 0

    @property
    def all(self) -> int:
        """Return everything [ms]."""
        return self.own + self.extra + self.waiting + self.away


@dataclass(slots=True)
class _Now:
    """Where the job stands while its entries are gone through."""

    person: str = ""
    place: str = ""
    running: dict[str, int] = field(default_factory=dict)
    """When each timer that runs will end [ms]."""
    ends: dict[str, int] = field(default_factory=dict)
    """The same of every timer that ever ran."""


def clocks_of(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[PersonClock, ...]:
    """Return the time of everybody who worked on the job with these ``entries``, in the order in which they came."""
    idle = idle_spans(entries)
    waits, extra = _waits(procedure), extra_places(procedure)
    found: dict[str, PersonClock] = {}
    now = _Now()
    end = next((entry.seq for entry in reversed(entries) if isinstance(entry.fact, Closed)), entries[-1].seq)
    for entry, after in pairwise(entries):
        if entry.seq >= end:
            break
        _take(now, entry.fact)
        start, stop = entry.at_ms, max(entry.at_ms, after.at_ms)
        timer = waits.get(now.place, "")
        over = min(stop, now.running.get(timer, start))
        waiting = worked_between(idle, start, max(start, over))
        worked = worked_between(idle, start, stop)
        busy = worked - waiting
        clock = found.get(now.person) or PersonClock(now.person)
        found[now.person] = replace(
            clock,
            own=clock.own + (0 if now.place in extra else busy),
            extra=clock.extra + (busy if now.place in extra else 0),
            waiting=clock.waiting + waiting,
            away=clock.away + stop - start - worked,
        )
    return tuple(clock for clock in found.values() if clock.all)


def _waits(procedure: Procedure | None) -> Mapping[str, str]:
    """Return the timer that is waited for at each place that waits."""
    places = () if procedure is None else places_of(procedure)
    return {one.key: one.step.waits_for for one in places if isinstance(one, StepPlace) and one.step.waits_for}


def extra_places(procedure: Procedure | None) -> frozenset[str]:
    """Return the keys of the places of extra work, but for the question whether it is granted."""
    if procedure is None:
        return frozenset()
    granted = {branch_key(one.step.id, one.branch) for one in turnings(procedure) if one.branch.extra}
    places = (one for one in places_of(procedure) if not isinstance(one, OfferPlace))
    return frozenset(one.key for one in places if not granted.isdisjoint(one.within))


def _take(now: _Now, fact: Fact) -> None:
    """Take up what an entry says of persons, places and timers."""
    match fact:
        case OperatorsNamed(names=names) if not now.person:
            now.person = names.partition(",")[0].strip()
        case HandedOver(taken_by=name):
            now.person = name
        case Resumed(operator=str(name)) if name:
            now.person = name
        case Arrived(place=place):
            now.place = place
        case TimerStarted(timer=timer, ends_ms=ends_ms):
            now.running[timer] = now.ends[timer] = ends_ms
        case TimerEnded(timer=timer) | TimerStopped(timer=timer):
            now.running.pop(timer, None)
        case TimerRunsOn(timer=timer) if timer in now.ends:
            now.running[timer] = now.ends[timer]
        case TimerAsBefore(timer=timer, was=was):
            now.running.pop(timer, None)
            if was is not None and not was.over and not was.stopped:
                now.running[timer] = now.ends[timer] = was.ends_ms


def clock_lines(clocks: Sequence[PersonClock]) -> tuple[ClockLine, ...]:
    """Return ``clocks`` as rows of the record [s]."""
    return tuple(
        ClockLine(clock.person or "name not given", *(round(ms / 1000) for ms in _parts(clock))) for clock in clocks
    )


def _parts(clock: PersonClock) -> tuple[int, int, int, int]:
    return clock.own, clock.extra, clock.waiting, clock.away
