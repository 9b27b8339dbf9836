"""A step that reads off a table: one reading follows the other, and only what is doubtful or wrong is talked about."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.events import Command
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.kinds.measure import (
    AskFarReading,
    AskReadingsOff,
    AskSkipReading,
    CellLeftOut,
    CellReached,
    CellRead,
    TableRead,
)
from assistant.fastening.quantities import plain
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells, shims
from assistant.session.cells import CellSpot, at_of, key_of, present_spot
from assistant.session.deciding import asking, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.here import Here, text_of
from assistant.session.kinds import measure_asked
from assistant.session.kinds import measure_words as words
from assistant.session.kinds.free_lengths import is_no_length, judge_lengths
from assistant.session.kinds.reading import may_be_below_zero
from assistant.session.named import add_names
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.states import was_done, work_acts
from assistant.session.table import Row
from assistant.session.valves import stays_unread

_READINGS = ("reading", "reading_below", "bare_reading")


def _table(here: Here) -> MeasureStep:
    step = here.step
    if not isinstance(step, MeasureStep):
        raise TypeError("There is no table to read off in this step.")
    return step


# Reading off


def take_cell(d: Deciding, command: Command) -> None:
    """Take the reading of the present place; one that is far from its limits is read back before it counts."""
    step = _table(d)
    spot = present_spot(d, step)
    if spot is None or timers.too_late(d):
        return
    of = words.limits_at(d, spot)
    value = Decimal(command.name) if command.name else command.number or Decimal(0)
    if not _may_be(d, step, value):
        asking.ask(d, AskFarReading(step.id, at_of(spot), Quantity(value, of.unit)))
    else:
        _put(d, step, spot, Quantity(value, of.unit))


def _may_be(here: Here, step: MeasureStep, value: Decimal) -> bool:
    """Return whether ``value`` [unit of its limits] can well be read off at the present place."""
    spot = present_spot(here, step)
    if spot is None:
        return False
    of = words.limits_at(here, spot)
    far = cells.is_far(value, of) or shims.is_no_size(here, step, spot, value, of.unit)
    return not far and not is_no_length(step, value)


def _may_be_below(here: Here, step: MeasureStep, value: Decimal) -> bool:
    return _may_be(here, step, -value)


def take_cell_below(d: Deciding, command: Command) -> None:
    """Take a reading below zero."""
    take_cell(d, replace(command, number=Decimal(0) - (command.number or Decimal(0))))


def _put(d: Deciding, step: MeasureStep, spot: CellSpot, reading: Quantity) -> None:
    of = words.limits_at(d, spot)
    d.put(
        CellRead(
            step=step.id,
            row=spot[0].id,
            column=spot[1].id,
            reading=reading,
            limits=Bounds(of.low, of.high),
            side=cells.side_at(reading.value, of),
            when=spot[1].when,
            repeated=key_of(step, spot) in d.state.cells,
        )
    )
    _go_on(d, step)


def _go_on(d: Deciding, step: MeasureStep) -> None:
    """Answer the step when all is read off and nothing is out of limits; else what is out of limits is told first."""
    if present_spot(d, step) is None and not cells.outside_cells(d, step):
        _answered(d, step)


def _answered(d: Deciding, step: MeasureStep) -> None:
    judge_lengths(d, step)
    off, left_out = cells.cells_off(d, step), cells.left_out_spots(d, step)
    d.put(
        TableRead(
            step=step.id,
            off=tuple(map(at_of, off)),
            left_out=tuple(map(at_of, left_out)),
            repeated=step.id in d.state.done,
        )
    )
    shims.work_out(d, step)
    done_and_on(d, step)


def _far(d: Deciding, question: AskFarReading, _: str) -> None:
    step = _table(d)
    spot = cells.spot_of(step, question.cell)
    if spot is not None:
        _put(d, step, spot, question.reading)


# Correcting, going back, leaving out


def read_again(d: Deciding, command: Command) -> None:
    """Go to the place that was named; its reading counts until there is another."""
    step = _table(d)
    spot = next((spot for spot in step.cells() if _id(spot) == command.name), None)
    if spot is not None:
        d.put(CellReached(step=step.id, cell=at_of(spot)))


def _id(spot: CellSpot) -> str:
    return f"{spot[0].id}/{spot[1].id}"


def _back(d: Deciding, step: MeasureStep) -> bool:
    """Go to the reading before; out of the table from its first one, and from a table that is answered."""
    if step.id in d.state.done:
        return False
    present = present_spot(d, step)
    spots = [spot for spot in step.cells() if spot == present or not stays_unread(d, step, spot)]
    at = len(spots) if present is None else spots.index(present)
    if at == 0:
        return False
    d.put(CellReached(step=step.id, cell=at_of(spots[at - 1])))
    return True


def _leave_out(d: Deciding, step: MeasureStep) -> bool:
    spot = present_spot(d, step)
    if spot is None:
        return False
    asking.demand_reason(d, AskSkipReading(step.id, at_of(spot)))
    return True


def _left_out(d: Deciding, question: AskSkipReading, reason: str) -> None:
    at = question.cell
    d.put(CellLeftOut(step=question.step, row=at.row, column=at.column, reason=reason))
    _go_on(d, _table(d))


# What is out of limits


def answer_table(d: Deciding, command: Command) -> None:
    """Take "next" behind the last reading: ask why readings are taken that are out of limits, or go on."""
    step = _table(d)
    if step.id in d.state.done:
        moving.next_or_ask(d, command)
        return
    if timers.too_late(d):
        return
    off = cells.cells_off(d, step)
    if off:
        asking.demand_reason(d, AskReadingsOff(step.id, tuple(map(at_of, off))))
    else:
        _answered(d, step)


def _accept(d: Deciding, question: AskReadingsOff, reason: str) -> None:
    """Take readings out of limits, for a reason."""
    count = len(question.cells)
    d.put(Deviated(step=question.step, what=DeviationWhat.READINGS, count=count, reason=reason))
    _answered(d, _table(d))


def _pass(d: Deciding, command: Command) -> None:
    """Take "next" at a reading: go on past a table that was answered before, and past nothing else."""
    step = _table(d)
    if step.id in d.state.done and step.id in d.state.at_cell:
        d.put(CellReached(step=step.id, cell=None))
    moving.next_or_ask(d, command)


# How it stands, and what may be said


def _standing(here: Here, step: MeasureStep) -> str:
    spot = present_spot(here, step)
    if spot is None:
        return _MEASURED.name
    return _SIGNED.name if may_be_below_zero(spot[1].limits) else _MEASURING.name


def _numbers(here: Here, language: Language) -> Mapping[str, str]:
    """Return the readings that can well be, by all that is said for them: the engine listens for these alone."""
    step = here.step
    spot = present_spot(here, step) if isinstance(step, MeasureStep) else None
    if spot is None:
        return {}
    of = words.limits_at(here, spot)
    endings = ("", *(f" {one}" for one in language.units.unit_endings(of.unit)))
    return {
        f"{way}{ending}": plain(value)
        for value in cells.numbers_of(of)
        for way in language.numbers.number_ways(value)
        for ending in endings
    }


def _names(here: Here, language: Language) -> Mapping[str, str]:
    step = here.step
    if not isinstance(step, MeasureStep):
        return {}
    return {
        name: _id(spot) for spot in step.cells() for name in language.tables.cell_names(words.cell_called(step, spot))
    }


def _likely(here: Here) -> Sequence[Command]:
    """Return a reading within limits: the next name is what will probably be said."""
    step = here.step
    spot = present_spot(here, step) if isinstance(step, MeasureStep) else None
    if spot is None:
        return ()
    of = words.limits_at(here, spot)
    return (Command("bare_reading", name=plain(of.low if of.low is not None else of.high or Decimal(0))),)


def _open(here: Here, step: MeasureStep, _: Collection[str]) -> Sequence[OpenThing]:
    """Return that readings are out of limits in a table that was answered, and that some were left out."""
    at, off, left_out = here.job.step_at(step), len(cells.cells_off(here, step)), len(cells.left_out_spots(here, step))
    found = []
    if off and step.id in here.state.deviations:
        name = lambda language: language.tables.open_off(off, at)  # noqa: E731
        found.append(OpenThing(OpenKind.VALUE, step.id, name=name))
    if left_out:
        found.append(OpenThing(OpenKind.READING, step.id, name=lambda lang: lang.tables.open_cells_out(left_out, at)))
    return found


def _ask(here: Here, step: MeasureStep) -> Mapping[str, Any] | None:
    spot = present_spot(here, step)
    if spot is None:
        return None
    of = words.limits_at(here, spot)
    return {"kind": "reading", "unit": of.unit, "low": text_of(of.low), "high": text_of(of.high)}


_WORK = {"cell_again": read_again, "start_timer": timers.start_here, **work_acts()}
_MEASURING = Row(
    "measuring",
    means="the readings of a table, one after the other: the number alone is enough",
    acts={"bare_reading": take_cell, "reading": take_cell, **_WORK, "next": _pass},
    helps=("bare_reading", "cell_again", "go_back", "skip"),
    leads_on=lambda _: ("bare_reading",),
    hint=Sentence.ANSWER_CELL,
    next_goes_on=was_done,
    likely=_likely,
)
_SIGNED = replace(
    _MEASURING,
    name="measuring_signed",
    means="the same where a reading may lie below zero",
    acts={"bare_reading": take_cell, "reading": take_cell, "reading_below": take_cell_below, **_WORK, "next": _pass},
)
_MEASURED = Row(
    "table_read_off",
    means="all of a table is read off: something in it lies beyond its limits, or it was answered before",
    acts={**_WORK, "next": answer_table},
    helps=("next", "cell_again", "more", "note"),
    leads_on=lambda _: ("next", "cell_again"),
)

add_kind(
    MeasureStep,
    StepPart(
        rows=(_MEASURING, _SIGNED, _MEASURED),
        standing=_standing,
        words=words.present_words,
        where=words.where,
        left=words.cells_left,
        answer=words.how_answered,
        after_break=words.present_words,
        unclear=words.unclear,
        answers={"what_value": words.cell_limits, "more": words.rest, "last_reading": measure_asked.last_cell},
        ask=_ask,
        picture=words.table_shown,
        may_be={"bare_reading": _may_be, "reading": _may_be, "reading_below": _may_be_below},
        share_left=cells.spots_left,
        back=_back,
        leave_out=_leave_out,
        open=_open,
    ),
)
add_names("bare_reading", _numbers)
add_names("cell_again", _names)
add_grant(AskFarReading, _far, anew=_READINGS)
add_grant(AskSkipReading, _left_out)
add_grant(AskReadingsOff, _accept)
