"""What is as before when a word about a bolt that broke, or was dropped, or a reading of a table, is taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

from msgspec.structs import replace

from assistant.facts import Fact, asking
from assistant.facts.kinds import measure, trouble
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.kinds.shims import without_shims_of
from assistant.session.evolving.table import takes_up
from assistant.session.state import State

_K = TypeVar("_K")
_V = TypeVar("_V")


def _but(of: Mapping[_K, _V], key: _K) -> dict[_K, _V]:
    return {one: value for one, value in of.items() if one != key}


# Taken back


@takes_up(trouble.HoldTakenBack)
def _hold_taken_back(state: State, fact: trouble.HoldTakenBack) -> State:
    """A bolt is open and not held; it begins again, once it is loose where it was turned."""
    key = (fact.group, fact.bolt)
    return replace(
        state,
        held=_but(state.held, key),
        troubled=state.troubled - {key},
        worn=state.worn | {key} if fact.worn else state.worn - {key},
        to_loosen=state.to_loosen | {key} if fact.must_loosen else state.to_loosen,
    )


@takes_up(measure.CellReopened)
def _cell_reopened(state: State, fact: measure.CellReopened) -> State:
    """A reading is asked for again."""
    cell = (fact.step, fact.row, fact.column)
    if cell not in state.cells and cell not in state.cells_left_out:
        return state
    state = without_shims_of(state, fact.step)
    return replace(
        state,
        done=state.done - {fact.step},
        deviations=state.deviations - {fact.step},
        cells=_but(state.cells, cell),
        cells_left_out=_but(state.cells_left_out, cell),
        at_cell={**state.at_cell, fact.step: (fact.row, fact.column)},
    )


# What can be taken back


@takes_back(trouble.BoltHeld, always=True)
def _held(state: State, fact: trouble.BoltHeld) -> Sequence[Fact] | None:
    """One that was held before for something else stays held."""
    key = (fact.group, fact.bolt)
    if key in state.held:
        return None
    turned = any(of == fact.group and bolt[3] == fact.bolt for bolt, of in state.turned.items())
    must_loosen = turned or key in state.to_loosen
    worn = key in state.worn
    return (trouble.HoldTakenBack(group=fact.group, bolt=fact.bolt, must_loosen=must_loosen, worn=worn),)


@takes_back(trouble.BoltFreed)
def _freed(state: State, fact: trouble.BoltFreed) -> Sequence[Fact] | None:
    return _held_again(state, fact.group, fact.bolt)


@takes_back(asking.Deviated)
def _left(state: State, fact: asking.Deviated) -> Sequence[Fact] | None:
    """A bolt that was given up is held open again; what was dropped is asked for again."""
    if fact.what is asking.DeviationWhat.BOLT_HELD:
        found = [_held_again(state, fact.group, bolt) or () for bolt in fact.bolts]
        return [one for some in found for one in some] or None
    if fact.what is asking.DeviationWhat.DROPPED:
        return [one for _, number in fact.things for one in _dropped_again(state, number)] or None
    return None


def _held_again(state: State, group: str, bolt: int) -> Sequence[Fact] | None:
    held = state.held.get((group, bolt))
    if held is None:
        return None
    worn = (group, bolt) in state.worn
    return (trouble.BoltHeld(group=group, bolt=bolt, what=held.what, step=held.step or None, worn=worn),)


@takes_back(trouble.DroppedFound)
def _dropped_found(state: State, fact: trouble.DroppedFound) -> Sequence[Fact]:
    return _dropped_again(state, fact.number)


def _dropped_again(state: State, number: int) -> Sequence[Fact]:
    loose = state.dropped.get(number)
    if loose is None:
        return ()
    return (
        trouble.Dropped(number=number, step=loose.step or None, group=loose.group, bolt=loose.bolt or None),
    )  # fmt: skip


@takes_back(measure.CellRead)
def _cell_read(_: State, fact: measure.CellRead) -> Sequence[Fact]:
    return (measure.CellReopened(step=fact.step, row=fact.row, column=fact.column),)


@takes_back(measure.CellLeftOut)
def _cell_left_out(_: State, fact: measure.CellLeftOut) -> Sequence[Fact]:
    return (measure.CellReopened(step=fact.step, row=fact.row, column=fact.column),)
