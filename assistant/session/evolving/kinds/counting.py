"""A number of pieces that did not agree, until one is taken."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import counting
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(counting.Miscounted)
def _miscounted(state: State, fact: counting.Miscounted) -> State:
    """A count did not agree."""
    return replace(state, miscounts={**state.miscounts, fact.step: state.miscounts.get(fact.step, 0) + 1})


def no_miscount(state: State, step: str) -> State:
    """Forget the numbers of a step that did not agree."""
    return replace(state, miscounts={one: number for one, number in state.miscounts.items() if one != step})
