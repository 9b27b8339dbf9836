"""The rules about shims that are read off in tables."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from assistant.advice.thickness import length_unit, written, written_grains
from assistant.facts.codes import TakenWhen
from assistant.procedure.findings import Level, Place
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Limits
from assistant.procedure.rows import TableColumn
from assistant.procedure.steps.measure import MeasureStep


def _place(draft: Draft, step: MeasureStep, column: TableColumn) -> Place:
    return draft.places.under(column, "shim for") or draft.places.of(step)


def _lengths(limits: Limits) -> tuple[int, int] | None:
    """Return both limits [grains]; None where one is missing, or they are no lengths."""
    if limits.low is None or limits.high is None or length_unit(limits.unit) is None:
        return None
    ends = [written_grains(end, limits.unit) for end in (limits.low, limits.high)]
    found = [end for end in ends if isinstance(end, int)]
    return (found[0], found[1]) if len(found) == 2 else None


def _clearances(steps: list[MeasureStep], until: MeasureStep, name: str) -> list[TableColumn]:
    """Return the readings of the clearance ``name`` up to the table ``until``."""
    at = next(number for number, step in enumerate(steps) if step is until)
    columns = [column for step in steps[: at + 1] for column in step.columns]
    return [column for column in columns if column.name == name and column.when is not TakenWhen.LEFT]


@rule
def shims_can_be_worked_out(draft: Draft) -> Iterator[Complaint]:
    """Read off the clearance of each shim, between two limits in mm or in, and say which sizes can be had."""
    steps = [step for step in draft.steps_of(MeasureStep) if draft.places.sound(step)]
    told = {column.shim_for for step in steps if step.shims is not None for column in step.columns}
    for step in steps:
        fitted = [column for column in step.columns if column.shim_for]
        if step.shims is not None and not any(column.when is not TakenWhen.LEFT for column in fitted):
            text = "This table has shims:, and no reading of a fitted shim"
            yield Complaint(draft.places.of(step), text, "add to a reading shim for: with the name of its clearance")
        for column in fitted:
            place = _place(draft, step, column)
            of_it = _clearances(steps, step, column.shim_for)
            if not of_it:
                text = f'No reading "{column.shim_for}" stands before the shim for it'
                yield Complaint(
                    place, text, "write the name of a clearance that is read off here or in an earlier table"
                )
            elif _lengths(of_it[-1].limits) is None:
                text = f'"{column.shim_for}" has no two limits in mm or in'
                yield Complaint(place, text, "give that clearance limits such as 0.18 to 0.24 mm")
            elif _lengths(column.limits) is None:
                yield Complaint(place, f'"{column.name}" is no thickness between two limits', "write 2.00 to 3.20 mm")
            if column.shim_for not in told:
                text = f'Nothing says which shims there are for "{column.shim_for}"'
                yield Complaint(
                    place, text, "add shims: with sizes: to the table in which the fitted shims are read off"
                )


@rule
def shims_reach_the_band(draft: Draft) -> Iterator[Complaint]:
    """Take sizes of shims whose steps are no wider than the band of the clearance, so that some shim always reaches."""
    steps = [step for step in draft.steps_of(MeasureStep) if draft.places.sound(step)]
    for step in steps:
        sizes = step.shims.sizes if step.shims is not None else None
        for column in step.columns if sizes is not None else ():
            of_it = _clearances(steps, step, column.shim_for) if column.shim_for else []
            band = _lengths(of_it[-1].limits) if of_it else None
            if sizes is None or band is None:
                continue
            widest = max((after - before for before, after in pairwise(sizes.sizes)), default=0)
            if widest > band[1] - band[0]:
                unit = sizes.unit
                text = (
                    f"Two shims are {written(widest, unit)} {unit} apart, which is more than the band of "
                    f'"{column.shim_for}"'
                )
                hint = "look at the sizes and at the limits: between them a clearance may stay out of its band"
                yield Complaint(_place(draft, step, column), text, hint, Level.WARNING)
