"""The clock of a job: whose time went where. A pure fold of its entries, on the clock of the job, which never steps.

Every moment from the opening to the closing (or to the last entry) counts once, in milliseconds:

- *away*: a pause, a hand-over that nobody had taken yet, or an interruption, as ``times.py`` has them;
- *waiting*: the job stands at a step that waits for a timer, while that timer runs. Who works on elsewhere meanwhile
  stands at another step, and does not wait;
- *extra*: the job stands in a branch that had to be granted, wherever it was begun from;
- *own*: all the rest, detours too: the work of the job itself.

It belongs to who works on the job then, as the names were given. Extra work without steps counts as extra from the word
that it is begun to the word that it is done, or left.

Second persons have a clock of their own beside that: from the word that they help to the word that they leave, and from
the statement of their name to their own word where they release a gate or witness a step. It runs with the job, so it
counts the same moments once more, for them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from assistant.facts import Fact
from assistant.facts.asking import Cancelled
from assistant.facts.extra import ExtraAsked, FindingBegun, FindingLeft
from assistant.facts.going import Arrived, Closed
from assistant.facts.inputs import Resumed
from assistant.facts.people import HandedOver, HelperAsBefore, HelperCame, HelperLeft, OperatorsNamed
from assistant.facts.second import GateReleased, NotWitnessed, SecondAsked, SecondNamed, Witnessed
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
    is_second: bool = False
    """Whether this is their time as a second person, beside who works on the job."""

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
    clocked: str = ""
    """The extra work without steps that is worked on."""
    helping: dict[str, None] = field(default_factory=dict)
    """Who helps, in the order in which they came."""
    second: str | None = None
    """Who was named to release a gate or to witness a step, and has not said the word yet."""


def clocks_of(procedure: Procedure | None, entries: Sequence[Entry]) -> tuple[PersonClock, ...]:
    """Return the time of everybody who worked on the job with these ``entries``, in the order in which they came."""
    idle = idle_spans(entries)
    waits, extra = _waits(procedure), extra_places(procedure)
    found: dict[tuple[str, bool], PersonClock] = {}
    now = _Now()
    watched: list[PersonClock] = []
    end = next((entry.seq for entry in reversed(entries) if isinstance(entry.fact, Closed)), entries[-1].seq)
    withdrawn = _withdrawn(entries)
    for entry, after in pairwise(entries):
        if entry.seq >= end:
            break
        if entry.seq not in withdrawn:
            _take(now, entry.fact)
        start, stop = entry.at_ms, max(entry.at_ms, after.at_ms)
        timer = waits.get(now.place, "")
        over = min(stop, now.running.get(timer, start))
        waiting = worked_between(idle, start, max(start, over))
        worked = worked_between(idle, start, stop)
        busy = worked - waiting
        is_extra = now.place in extra or bool(now.clocked)
        span = PersonClock(now.person, 0 if is_extra else busy, busy if is_extra else 0, waiting, stop - start - worked)
        _count(found, span)
        for name in now.helping:
            _count(found, replace(span, person=name, is_second=True))
        if now.second is not None:
            if now.second not in now.helping:
                watched.append(replace(span, person=now.second, is_second=True))
            if isinstance(after.fact, GateReleased | Witnessed):
                for one in watched:
                    _count(found, one)
        else:
            watched.clear()
    return tuple(clock for clock in found.values() if clock.all)


def _withdrawn(entries: Sequence[Entry]) -> set[int]:
    """Return the entries (``seq``) of helpers who came or left that were taken back, the last one first."""
    found: set[int] = set()
    counts: dict[str, list[int]] = {}
    for entry in entries:
        match entry.fact:
            case HelperCame(name=name) | HelperLeft(name=name):
                counts.setdefault(name, []).append(entry.seq)
            case HelperAsBefore(name=name) if counts.get(name):
                found.add(counts[name].pop())
    return found


def _count(found: dict[tuple[str, bool], PersonClock], span: PersonClock) -> None:
    """Add ``span`` to the clock of its person."""
    key = span.person, span.is_second
    was = found.get(key) or PersonClock(span.person, is_second=span.is_second)
    found[key] = replace(
        was, own=was.own + span.own, extra=was.extra + span.extra, waiting=was.waiting + span.waiting,
        away=was.away + span.away,
    )  # fmt: skip


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
        case HelperCame(name=name):
            now.helping[name] = None
        case HelperLeft(name=name):
            now.helping.pop(name, None)
        case FindingBegun(work=work):
            now.clocked = work
        case FindingLeft(work=work) | ExtraAsked(work=work) if now.clocked == work:
            now.clocked = ""
        case SecondNamed(name=name):
            now.second = name
        case GateReleased() | Witnessed() | NotWitnessed() | Cancelled() | SecondAsked():
            now.second = None
        case OperatorsNamed(names=names) if not now.person:
            now.person = names.partition(",")[0].strip()
        case HandedOver(taken_by=name):
            now.person = name
            now.helping.pop(name, None)
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
    return tuple(ClockLine(clock_name(clock), *(round(ms / 1000) for ms in _parts(clock))) for clock in clocks)


def clock_name(clock: PersonClock) -> str:
    """Return whose clock it is, as papers name them."""
    name = clock.person or "name not given"
    return f"{name}, as second person" if clock.is_second else name


def _parts(clock: PersonClock) -> tuple[int, int, int, int]:
    return clock.own, clock.extra, clock.waiting, clock.away
