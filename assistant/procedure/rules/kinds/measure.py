"""The rules about tables of readings."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TypeGuard

from assistant.facts.codes import TakenWhen
from assistant.procedure.findings import Level, Place
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.values import written_limits
from assistant.procedure.limits_said import unspeakable
from assistant.procedure.model import Limits
from assistant.procedure.rows import TableColumn
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.measure import MeasureStep


def _place(draft: Draft, step: MeasureStep, column: TableColumn, key: str) -> Place:
    return draft.places.under(column, key) or draft.places.of(step)


@rule
def columns_can_be_said(draft: Draft) -> Iterator[Complaint]:
    """Give the readings of a table limits that can be spoken: below 1000, with two decimals, or three of an inch."""
    for step in draft.steps_of(MeasureStep):
        for column in step.columns if draft.places.sound(step) else ():
            for end in (column.limits.low, column.limits.high):
                fault = unspeakable(end, column.limits.unit)
                if fault is not None:
                    yield Complaint(_place(draft, step, column, "limits"), fault.reason, fault.advice)


@rule
def small_inches(draft: Draft) -> Iterator[Complaint]:
    """Give limits below a tenth of an inch in thousandths: fifteen is said sooner than point zero one five."""
    for step in draft.steps_of(CheckStep):
        if draft.places.sound(step) and _is_small(step.limits):
            yield _in_thousandths(step.limits, draft.places.of(step, "limits"))
    for table in draft.steps_of(MeasureStep):
        for column in table.columns if draft.places.sound(table) else ():
            if _is_small(column.limits):
                yield _in_thousandths(column.limits, _place(draft, table, column, "limits"))


def _is_small(limits: Limits | None) -> TypeGuard[Limits]:
    ends = () if limits is None or limits.unit != "in" else (limits.low, limits.high)
    return any(ends) and all(end is None or abs(end) < Decimal("0.1") for end in ends)


def _in_thousandths(limits: Limits, place: Place) -> Complaint:
    low, high = (None if end is None else Decimal(int(end * 1000)) for end in (limits.low, limits.high))
    text = f"{written_limits(limits)} is said in hundredths of an inch"
    return Complaint(place, text, f"write {written_limits(Limits(low, high, 'thou'))}", Level.WARNING)


@rule
def found_is_left(draft: Draft) -> Iterator[Complaint]:
    """Read off how something is left wherever it was read off how it was found, so that nothing stays out of limits."""
    steps = [step for step in draft.steps_of(MeasureStep) if draft.places.sound(step) and not step.lengths]
    left = {
        (row.id, column.name.lower())
        for step in steps
        for row, column in step.cells()
        if column.when is not TakenWhen.FOUND
    }
    for step in steps:
        for column in step.columns:
            rows = [row for row in step.rows if (row.id, column.name.lower()) not in left and not column.shim_for]
            if column.when is TakenWhen.FOUND and rows:
                text = f'"{column.name}" is read off as found, and nowhere as it is left'
                hint = "add a reading of the same name with when: left, here or in a later table"
                yield Complaint(_place(draft, step, column, "when"), text, hint, Level.WARNING)
