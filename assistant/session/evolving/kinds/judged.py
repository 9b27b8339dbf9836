"""What values that were read off tell of bolts."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import judged
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(judged.LengthsJudged)
def _lengths_judged(state: State, fact: judged.LengthsJudged) -> State:
    """Bolts that are too long are worn: new ones must come. What was measured before of the others counts no more."""
    measured = {(fact.group, bolt) for bolt in fact.bolts}
    beyond = {(fact.group, bolt) for bolt in fact.beyond}
    gone = state.too_long & measured
    return replace(state, worn=(state.worn - gone) | beyond, too_long=(state.too_long - measured) | beyond)
