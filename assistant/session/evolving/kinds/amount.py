"""How much was filled in."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import amount
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(amount.Filled)
def _filled(state: State, fact: amount.Filled) -> State:
    """It is known how much it was."""
    state = replace(state, answers={**state.answers, fact.step: str(fact.value)})
    return deviates(state, fact.step, is_so=not fact.in_limits)
