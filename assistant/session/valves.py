"""Which reading of a table is of which valve: its clearance, and the shim that sets it; and which shims stay unread.

A valve whose clearance is within its limits keeps its shim, so nobody has to take it out to measure it.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.facts.codes import Side, TakenWhen
from assistant.procedure.rows import BlockRow, TableColumn
from assistant.procedure.steps.measure import MeasureStep
from assistant.session.here import Here


@dataclass(frozen=True, slots=True)
class ValveSpots:
    """Where the clearance of one valve is read off, and its shim: the step and the place of each."""

    step: MeasureStep
    clearance: tuple[BlockRow, TableColumn]
    shim_step: MeasureStep
    shim: tuple[BlockRow, TableColumn]


def valves_of(here: Here, table: MeasureStep) -> list[ValveSpots]:
    """Return the valves whose fitted shims are read off in ``table``, in the order of the work."""
    found = (_valve(here, table, row, column) for row, column in table.cells())
    return [one for one in found if one is not None]


def _valve(here: Here, table: MeasureStep, row: BlockRow, column: TableColumn) -> ValveSpots | None:
    """Return a valve: its clearance stands in the same table, or in the last one before it that has it."""
    if not column.shim_for or column.when is TakenWhen.LEFT:
        return None
    before: ValveSpots | None = None
    for step in here.job.steps_of(MeasureStep):
        for spot in step.cells():
            of_it = spot[0].id == row.id and spot[1].name == column.shim_for and spot[1].when is not TakenWhen.LEFT
            if of_it:
                before = ValveSpots(step, spot, table, (row, column))
        if step.id == table.id:
            break
    return before


def keeps_shim(here: Here, valve: ValveSpots) -> bool:
    """Return whether the clearance of a valve was read off and is within its limits."""
    row, column = valve.clearance
    read = here.state.cells.get((valve.step.id, row.id, column.id))
    return read is not None and read.side is Side.WITHIN


def stays_unread(here: Here, step: MeasureStep, spot: tuple[BlockRow, TableColumn]) -> bool:
    """Return whether a place is of a shim that nobody has to take out."""
    valve = _valve(here, step, *spot)
    return valve is not None and keeps_shim(here, valve)
