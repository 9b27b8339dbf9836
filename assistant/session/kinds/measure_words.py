"""What is said and shown of a table of readings: between two of them the name of the next one, and little else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.events import SlotKind
from assistant.facts.asking import Granted
from assistant.facts.codes import Side, TakenWhen
from assistant.facts.kinds.measure import (
    AskFarReading,
    AskReadingsOff,
    AskSkipReading,
    CellAt,
    CellLeftOut,
    CellReached,
    CellRead,
    TableRead,
)
from assistant.fastening.quantities import plain
from assistant.language.sentence import Sentence
from assistant.language.topics.tables import Called
from assistant.procedure.model import Limits
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells, shims
from assistant.session.alike import alike_of
from assistant.session.cells import CellSpot, present_spot
from assistant.session.here import Here, text_of
from assistant.session.kinds import shims_words
from assistant.session.kinds.reading import is_unsure
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls, step_called
from assistant.session.tools.values import check_limits


def limits_at(here: Here, spot: CellSpot) -> Limits:
    """Return the limits of a place, in the unit in which it is read."""
    return check_limits(here, spot[1].limits)


def cell_called(step: MeasureStep, spot: CellSpot) -> Called:
    """Return how a place is called; found and left are told apart where a table has both."""
    row, column = spot
    whens = {one.when for one in step.columns if one.name == column.name}
    when = column.when.value if column.when is not None and len(whens) > 1 else ""
    return Called(row.name, column.name if len({one.name for one in step.columns}) > 1 else "", step.each, when)


def _step(t: Here, name: str) -> MeasureStep | None:
    step = t.step
    return step if isinstance(step, MeasureStep) and step.id == name else None


# Where it is


def present_words(t: Telling, step: MeasureStep) -> list[str]:
    """Return which reading is next, with its limits; or what is out of limits when all are read off."""
    spot = present_spot(t, step)
    if spot is None:
        return _summary(t, step)
    return [*_opening(t, step), *_cell(t, step, spot, whole=True, limits=True)]


def _opening(t: Telling, step: MeasureStep) -> list[str]:
    whens = {column.when for column in step.columns}
    return [t.text(Sentence.AS_FOUND if TakenWhen.FOUND in whens else Sentence.AS_LEFT)] if _one(whens) else []


def _one(whens: set[TakenWhen | None]) -> bool:
    return len(whens) == 1 and None not in whens


def _cell(
    t: Telling, step: MeasureStep, spot: CellSpot, *, whole: bool = False, limits: bool | None = None
) -> list[str]:
    """Return the name of a place, with its limits where its column comes for the first time."""
    if limits is None:
        rows = [row for row in step.rows if row is not spot[0]]
        seen = (t.state.cells, t.state.cells_left_out)
        limits = not any(cells.key_of(step, (row, spot[1])) in some for row in rows for some in seen)
    name = t.language.tables.next_cell(cell_called(step, spot), whole=whole)
    return [name, _limits(t, spot, whole=whole) if limits else ""]


def _limits(t: Telling, spot: CellSpot, *, whole: bool) -> str:
    """Return the limits of a place; of what is only taken as it is found, no more than the unit, once."""
    of = limits_at(t, spot)
    if spot[1].when is not TakenWhen.FOUND or t.in_full:
        return t.language.answers.limits(of.low, of.high, of.unit)
    return t.language.answers.unit_alone(of.unit) if whole else ""


def where(t: Telling, step: MeasureStep) -> str:
    """Say where the job is in the table."""
    place = t.job.places[t.job.index[step.id]]
    at = t.language.steps.at_step(t.job.step_at(step), getattr(place, "of", 0), hazard=t.unread is not None)
    spot = present_spot(t, step) if t.unread is None else None
    return at if spot is None else f"{at} {t.language.tables.next_cell(cell_called(step, spot), whole=True)}"


def cells_left(t: Telling, step: MeasureStep) -> list[str]:
    """Say how many readings are to do."""
    number = len(cells.open_spots(t, step))
    return [t.language.tables.readings_left(number)] if number else []


def how_answered(t: Telling, step: MeasureStep) -> str:
    """Say how the step is answered."""
    return t.text(Sentence.ANSWER_TABLE if present_spot(t, step) is None else Sentence.ANSWER_CELL)


def unclear(t: Telling, step: MeasureStep) -> list[str]:
    """Say which reading is waited for: whoever went on without it would put the next one in its place."""
    spot = present_spot(t, step)
    return [] if spot is None else _cell(t, step, spot, limits=False)


def cell_limits(t: Telling, step: MeasureStep) -> Sequence[str]:
    """Answer what the limits of the present reading are."""
    spot = present_spot(t, step)
    if spot is None:
        return [t.text(Sentence.NO_VALUE)]
    of = limits_at(t, spot)
    return [t.language.answers.limits(of.low, of.high, of.unit)]


# What is out of limits


def _outside(t: Here, step: MeasureStep) -> list[tuple[Called, Decimal]]:
    return [(cell_called(step, spot), value.reading.value) for spot, value in cells.outside_cells(t, step)]


def _summary(t: Telling, step: MeasureStep) -> list[str]:
    """Return what is out of limits, four at most, and how it goes on."""
    found = _outside(t, step)
    if not found and step.shims is not None:
        return [] if t.state.cells_left_out or _any_read(t, step) else [t.language.shims.all_stay()]
    if not found:
        return [t.language.tables.all_within(len(list(step.cells())), len(cells.left_out_spots(t, step)))]
    ask = (
        ""
        if step.id in t.state.done
        else t.text(Sentence.TABLE_OFF if cells.cells_off(t, step) else Sentence.TABLE_FOUND)
    )
    return [*t.language.tables.cells_outside(found, len(found)), ask]


def _any_read(t: Here, step: MeasureStep) -> bool:
    """Return whether a shim was read off in a table."""
    return any(cells.key_of(step, spot) in t.state.cells for spot in step.cells())


def rest(t: Telling, step: MeasureStep) -> list[str]:
    """Answer "tell me more" where more is out of limits than one breath holds."""
    found = _outside(t, step)
    words: list[str] = []
    for first in range(4, len(found), 4):
        words += t.language.tables.cells_outside(found, len(found), first=first)
    return words


# What happened


def _doubtful(t: Telling, fact: CellRead) -> bool:
    return is_unsure(t, t.facts[0]) or bool(alike_of(t.facts[0])) or fact.repeated


@tells(CellRead)
def _read(t: Telling, fact: CellRead) -> None:
    """Say a value back where it is out of limits or doubtful, then what is next."""
    value, of = fact.reading.value, t.language.tables
    if not t.has(Granted):
        if fact.side is not Side.WITHIN:
            t.say(of.value_off(value, below=fact.side is Side.BELOW))
        elif _doubtful(t, fact) or _sounds_alike(t, value) or _is_fine(value):
            t.say(of.value(value))
    step = _step(t, fact.step)
    t.say(*(() if step is None else shims_words.unlike(t, step, fact)))
    _next(t, fact.step)


def _is_fine(value: Decimal) -> bool:
    """Return whether a value has so many digits that one of them is easily lost: it is said back, digit by digit."""
    return value != round(value, SlotKind.DECIMAL.decimals)


def _sounds_alike(t: Telling, value: Decimal) -> bool:
    return t.language.numbers.sounds_alike(value)


@tells(CellLeftOut)
def _left_out(t: Telling, fact: CellLeftOut) -> None:
    _next(t, fact.step)


@tells(CellReached)
def _reached(t: Telling, fact: CellReached) -> None:
    step = _step(t, fact.step)
    spot = None if step is None or fact.cell is None else cells.spot_of(step, fact.cell)
    if step is not None and spot is not None:
        t.say(*_cell(t, step, spot, limits=False))


@tells(TableRead)
def _table_read(t: Telling, fact: TableRead) -> None:
    """Say that all is within limits; what is not was told before."""
    step = t.before.step
    if isinstance(step, MeasureStep) and step.shims is None and not cells.outside_cells(t.before, step):
        t.say(t.language.tables.all_within(len(list(step.cells())), len(fact.left_out)))


def _next(t: Telling, name: str) -> None:
    step = _step(t, name)
    if step is None or step.id in t.state.done:
        return
    spot = present_spot(t, step)
    t.say(*(_summary(t, step) if spot is None else _cell(t, step, spot)))


# What is asked


def _name(t: Telling, step_id: str, at: CellAt) -> Called:
    step = next((one for one in t.job.steps_of(MeasureStep) if one.id == step_id), None)
    spot = None if step is None else cells.spot_of(step, at)
    return Called(at.row, at.column, "") if step is None or spot is None else cell_called(step, spot)


@calls(CellRead)
def _call_read(t: Telling, fact: CellRead) -> str:
    name = _name(t, fact.step, CellAt(fact.row, fact.column))
    return step_called(t, fact.step, t.language.tables.cell_was_read(name, fact.reading.value), apart=True)


@calls(CellLeftOut)
def _call_left_out(t: Telling, fact: CellLeftOut) -> str:
    name = _name(t, fact.step, CellAt(fact.row, fact.column))
    return step_called(t, fact.step, t.language.tables.cell_was_left_out(name), apart=True)


def _far(t: Telling, question: AskFarReading) -> list[str]:
    """Read back a value that is far off, or a shim of a size that there is not."""
    step, value = _step(t, question.step), question.reading
    spot = None if step is None else cells.spot_of(step, question.cell)
    if step is not None and spot is not None and shims.is_no_size(t, step, spot, value.value, value.unit):
        return t.language.shims.no_such(value.value)
    return t.language.tables.far(value.value)


add_read_back(AskFarReading, ReadBack(_far))
add_read_back(
    AskSkipReading,
    ReadBack(summary=lambda t, question: t.language.tables.skip_cell(_name(t, question.step, question.cell))),
)
add_read_back(
    AskReadingsOff,
    ReadBack(
        summary=lambda t, question: t.language.tables.accept(len(question.cells)),
        before_reason=lambda t, question: [t.language.tables.are_off(len(question.cells))],
    ),
)


# What is shown


def table_shown(here: Here, step: MeasureStep) -> Mapping[str, Any]:
    """Return the table as a display may show it: JSON values."""
    present = present_spot(here, step)
    return {
        "table": {
            "each": step.each,
            "columns": [_column(here, step, number) for number in range(len(step.columns))],
            "rows": [
                {"name": row.name, "cells": [_shown(here, step, (row, one), present) for one in step.columns]}
                for row in step.rows
            ],
        }
    }


def _column(here: Here, step: MeasureStep, number: int) -> Mapping[str, Any]:
    column = step.columns[number]
    of = check_limits(here, column.limits)
    return {
        "name": column.name,
        "when": column.when.value if column.when else "",
        "low": text_of(of.low),
        "high": text_of(of.high),
        "unit": of.unit,
    }


def _shown(here: Here, step: MeasureStep, spot: CellSpot, present: CellSpot | None) -> Mapping[str, Any]:
    value = cells.value_at(here, step, spot)
    return {
        "value": None if value is None else plain(value.reading.value),
        "side": None if value is None else value.side.value,
        "left_out": cells.key_of(step, spot) in here.state.cells_left_out,
        "now": spot == present,
        **shims_words.proposed_shown(here, step, spot),
    }
