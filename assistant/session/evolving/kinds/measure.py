"""What was read off in a table: place by place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from msgspec.structs import replace

from assistant.facts.kinds import measure
from assistant.session.evolving.kinds.shims import without_shims_of
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import LastReading
from assistant.session.state import Cell, CellValue, State
from assistant.session.told import Told, ToldKind

_K = TypeVar("_K")
_V = TypeVar("_V")


def _without(some: Mapping[_K, _V], key: _K) -> Mapping[_K, _V]:
    return {one: value for one, value in some.items() if one != key} if key in some else some


def _open_again(state: State, step: str) -> State:
    """Return a state in which the table waits for its answer: what was read is not what was answered."""
    state = without_shims_of(state, step)
    return replace(deviates(state, step, is_so=False), done=state.done - {step}, at_cell=_without(state.at_cell, step))


@takes_up(measure.CellRead)
def _cell_read(state: State, fact: measure.CellRead) -> State:
    """A reading is there."""
    cell: Cell = (fact.step, fact.row, fact.column)
    state = _open_again(state, fact.step)
    cells = {**state.cells, cell: CellValue(fact.reading, fact.side)}
    read = LastReading(fact.step, fact.reading, cell=(fact.row, fact.column))
    return replace(state, cells=cells, cells_left_out=_without(state.cells_left_out, cell), last_reading=read)


@takes_up(measure.CellReached)
def _cell_reached(state: State, fact: measure.CellReached) -> State:
    """Another reading is next."""
    if fact.cell is None:
        return replace(state, at_cell=_without(state.at_cell, fact.step))
    return replace(state, at_cell={**state.at_cell, fact.step: (fact.cell.row, fact.cell.column)})


@takes_up(measure.CellLeftOut)
def _cell_left_out(state: State, fact: measure.CellLeftOut) -> State:
    """A reading is left out, and what stood there does not count."""
    cell: Cell = (fact.step, fact.row, fact.column)
    state = _open_again(state, fact.step)
    told = (*state.told, Told(ToldKind.DEVIATION, fact.step, fact.reason))
    left = {**state.cells_left_out, cell: fact.reason}
    return replace(state, cells=_without(state.cells, cell), cells_left_out=left, told=told)


@takes_up(measure.TableRead)
def _table_read(state: State, fact: measure.TableRead) -> State:
    """A table has its answer."""
    return deviates(state, fact.step, is_so=not fact.is_right)
