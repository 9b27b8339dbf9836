"""What the record knows of a kind of step: rows of its tables, and what is open, that only this kind can tell."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.facts import Fact, Quantity
from assistant.facts.steps import StepAnswer
from assistant.journal.port import Entry
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Procedure, When
from assistant.report.record.model import Fasteners, How, JobRecord, Open, TableReading, Tightening, TroubleLine
from assistant.report.record.printing import Names


def _nothing(*_: Any) -> tuple[Any, ...]:
    return ()


@dataclass(frozen=True, slots=True)
class RecordKind:
    """One kind of step in the record; each function gets the job's entries in order, or one fact of them.

    The procedure is None where the job's own copy cannot be read any more.
    """

    tightenings: Callable[[Procedure | None, Sequence[Entry], Mapping[int, How]], Iterable[Tightening]] = _nothing
    """Gets all entries, what was taken back too; all others get what stands, as ``standing.py`` has it."""
    fasteners: Callable[[Procedure | None, Sequence[Entry]], Iterable[Fasteners]] = _nothing
    troubles: Callable[[Procedure | None, Sequence[Entry], Mapping[int, How]], Iterable[TroubleLine]] = _nothing
    """What broke, was lost or was dropped, and how it ended."""
    readings: Callable[[Procedure | None, Sequence[Entry], Mapping[int, How]], Iterable[TableReading]] = _nothing
    excused: Callable[[Fact, Names], tuple[str, str] | None] = lambda _fact, _names: None
    """What a fact of this kind lets pass for a reason, and the reason, beside what is told for all kinds."""
    off: Callable[[Sequence[Entry]], Iterable[Open]] = _nothing
    """What is out of limits inside such steps, accepted or not."""
    falls_short: Callable[[Fact], bool] = lambda _fact: False
    """Whether a fact says that part of its step was left undone."""
    told_apart: tuple[type[Fact], ...] = ()
    """Answers that are not told by step where they are wrong, since a table tells them."""
    beside: tuple[type[Fact], ...] = ()
    """Facts that are told among the results of their step, beside its answers."""
    leads: Callable[[StepAnswer], Collection[When]] = lambda _answer: ()
    """Which branches of its step a wrong answer opens."""
    fitted: Callable[[Fact], tuple[str, str, int] | None] = lambda _fact: None
    """Which spare was fitted in which step, and how many of it."""
    filled: Callable[[Fact], tuple[str, Quantity] | None] = lambda _fact: None
    """In which step something was filled in or used up, and how much."""
    held: Callable[[Sequence[Entry]], Iterable[tuple[str, int, str]]] = _nothing
    """Bolts that broke, are stripped or lost, and are not in again: group, number, and which of these."""
    new_bolts: Callable[[Sequence[Entry]], Iterable[tuple[str, int]]] = _nothing
    """Bolts that came new in place of such: group and number, each as often as that was."""
    used: Callable[[Fact], Sequence[tuple[str, int]]] = _nothing
    """The ids of tools that were used, and the clicks [count] of each."""
    takes_back: tuple[type[Fact], ...] = ()
    """Facts that take back something that only this kind has."""
    stands: Callable[[Fact, Fact], Fact | None] = lambda fact, _back: fact
    """What still stands of a fact behind a later one of these: itself, a part of it, or None."""
    maps: Callable[[Procedure, JobRecord], Mapping[str, str]] = lambda _procedure, _record: {}
    """What is drawn of such steps, by id, as SVG of our own."""


RECORD: Room[RecordKind] = Room("record")


def record_kinds() -> Iterator[RecordKind]:
    """Yield what the record knows of each kind that has more in it than its words."""
    yield from KINDS.parts(RECORD).values()


def record_maps(procedure: Procedure | None, record: JobRecord) -> dict[str, str]:
    """Return what is drawn of the steps of a job, by id, as SVG of our own."""
    if procedure is None:
        return {}
    return {step: svg for kind in record_kinds() for step, svg in kind.maps(procedure, record).items()}
