"""New parts that were fitted."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import fit
from assistant.session.evolving.kinds.counting import no_miscount
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(fit.PartFitted)
def _part_fitted(state: State, fact: fit.PartFitted) -> State:
    """New parts are in."""
    state = no_miscount(replace(state, fitted={**state.fitted, fact.step: fact.count}), fact.step)
    return deviates(state, fact.step, is_so=fact.count != fact.expected)
