"""Fasteners that were counted."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import count
from assistant.session.evolving.kinds.counting import no_miscount
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(count.Counted)
def _counted(state: State, fact: count.Counted) -> State:
    """Fasteners were counted."""
    state = no_miscount(replace(state, counts={**state.counts, fact.step: fact.count}), fact.step)
    return deviates(state, fact.step, is_so=fact.count != fact.expected)
