"""Tables of readings in the record: every reading with its limits, and those that another one took the place of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from assistant.facts import Fact
from assistant.facts.codes import Side
from assistant.facts.kinds import measure
from assistant.journal.port import Entry
from assistant.procedure.format.values import written_limits
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Procedure
from assistant.procedure.steps.measure import MeasureStep
from assistant.report.record.kinds.shims import STAYS, proposals_in, proposed_for
from assistant.report.record.model import How, TableReading
from assistant.report.record.part import RECORD, RecordKind
from assistant.report.record.printing import AGAIN, Names, prints, prints_asked
from assistant.report.record.values import amount_text, limits_words

_SIDES = {Side.WITHIN: "within", Side.BELOW: "BELOW the limits", Side.ABOVE: "ABOVE the limits"}
LEFT_OUT, NOT_READ, NOT_NEEDED = "LEFT OUT", "NOT READ", "stays"


def _place(row: str, column: str) -> str:
    return f"{row}, {column}"


@prints(measure.CellRead)
def _read(fact: measure.CellRead, _: Names) -> str:
    limits = limits_words(fact.limits, fact.reading.unit) or "none"
    off = "" if fact.side is Side.WITHIN else f": {_SIDES[fact.side]}"
    place = _place(fact.row, fact.column)
    return f"{place}: read {amount_text(fact.reading)} (limits {limits}){off}{AGAIN[fact.repeated]}"


@prints(measure.CellReached)
def _reached(fact: measure.CellReached, _: Names) -> str:
    return f"went to {_place(fact.cell.row, fact.cell.column)}" if fact.cell else "left the table as it is"


@prints(measure.CellLeftOut)
def _left_out(fact: measure.CellLeftOut, _: Names) -> str:
    return f"reading {_place(fact.row, fact.column)} left out: {fact.reason}"


@prints(measure.TableRead)
def _table(fact: measure.TableRead, _: Names) -> str:
    off = ", ".join(f"{one.row} {one.column}" for one in fact.off)
    out = ", ".join(f"{one.row} {one.column}" for one in fact.left_out)
    told = [f"OUT OF LIMITS: {off}"] if off else []
    return (
        f"table read off{': ' if off or out else ''}{'; '.join([*told, *([f'left out: {out}'] if out else [])])}"
        + (AGAIN[fact.repeated])
    )


@prints_asked(measure.AskFarReading)
def _ask_far(q: measure.AskFarReading, _: Names) -> str:
    return f"take {amount_text(q.reading)} at {q.step}, {_place(q.cell.row, q.cell.column)}, far from its limits"


@prints_asked(measure.AskSkipReading)
def _ask_skip(q: measure.AskSkipReading, _: Names) -> str:
    return f"leave out the reading {_place(q.cell.row, q.cell.column)} at {q.step}"


@prints_asked(measure.AskReadingsOff)
def _ask_off(q: measure.AskReadingsOff, _: Names) -> str:
    return f"take {len(q.cells)} readings out of limits at {q.step}"


def _readings(procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]) -> Iterator[TableReading]:
    """Yield every place of every table; one that nobody read off is there, and says so."""
    told: dict[tuple[str, str, str], list[Entry]] = {}
    shims = proposals_in(entries)
    for entry in entries:
        if isinstance(fact := entry.fact, measure.CellRead | measure.CellLeftOut):
            told.setdefault((fact.step, fact.row, fact.column), []).append(entry)
    for step in procedure.every_step if procedure else ():
        for row, column in step.cells() if isinstance(step, MeasureStep) else ():
            when = column.when.value if column.when else ""
            limits, proposed = written_limits(column.limits), proposed_for(shims, step.id, row.id, column)
            begun = TableReading(step.id, row.name, column.name, when, limits, "", NOT_READ, proposed=proposed)
            if proposed == STAYS:
                begun = replace(begun, result=NOT_NEEDED, proposed="")
            yield _line(begun, told.pop((step.id, row.id, column.id), []), how)
    for (name, row_id, column_id), rest in told.items():
        yield _line(TableReading(name, row_id, column_id, "", "", "", NOT_READ), rest, how)


def _line(begun: TableReading, entries: Sequence[Entry], how: Mapping[int, How]) -> TableReading:
    if not entries:
        return begun
    last, fact = entries[-1], entries[-1].fact
    earlier = tuple(amount_text(one.fact.reading) for one in entries[:-1] if isinstance(one.fact, measure.CellRead))
    reading, limits, result = "", begun.limits, LEFT_OUT
    if isinstance(fact, measure.CellRead):
        reading, result = amount_text(fact.reading), _SIDES[fact.side]
        limits = limits_words(fact.limits, fact.reading.unit)
    return TableReading(
        begun.step, begun.row, begun.column, begun.when, limits, reading, result, last.seq, last.at_ms, how[last.seq],
        earlier, begun.proposed,
    )  # fmt: skip


def _stands(fact: Fact, back: Fact) -> Fact | None:
    """Return a reading, unless it is one that is open again."""
    if not isinstance(back, measure.CellReopened) or not isinstance(fact, measure.CellRead | measure.CellLeftOut):
        return fact
    return None if (fact.step, fact.row, fact.column) == (back.step, back.row, back.column) else fact


@prints(measure.CellReopened)
def _reopened(fact: measure.CellReopened, _: Names) -> str:
    return f"open again: {_place(fact.row, fact.column)}"


def _excused(fact: Fact, _: Names) -> tuple[str, str] | None:
    if not isinstance(fact, measure.CellLeftOut):
        return None
    return f"reading {_place(fact.row, fact.column)} left out", fact.reason


KINDS.add(
    MeasureStep,
    RECORD,
    RecordKind(
        readings=_readings,
        falls_short=lambda fact: isinstance(fact, measure.TableRead) and bool(fact.left_out),
        excused=_excused,
        takes_back=(measure.CellReopened,),
        stands=_stands,
    ),
)
