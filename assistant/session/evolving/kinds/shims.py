"""Which shims are proposed, and which of them was told last."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import shims
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(shims.ShimsWorkedOut)
def _worked_out(state: State, fact: shims.ShimsWorkedOut) -> State:
    """There are proposals; what was proposed for the same table before does not count."""
    return replace(state, shims={**state.shims, fact.step: fact}, at_shim=None)


@takes_up(shims.ShimTold)
def _told(state: State, fact: shims.ShimTold) -> State:
    """A proposal was told, or the last one is."""
    at = None if fact.at is None else (fact.step, fact.at.row, fact.at.column)
    return replace(state, at_shim=at)


def without_shims_of(state: State, step: str) -> State:
    """Return a state in which nothing is proposed that came of readings in ``step``: one of them is another now."""
    rest = {name: worked for name, worked in state.shims.items() if step not in worked.steps}
    return state if len(rest) == len(state.shims) else replace(state, shims=rest, at_shim=None)
