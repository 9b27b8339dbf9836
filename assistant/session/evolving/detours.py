"""Going elsewhere than on, and back."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import detours
from assistant.session.evolving.table import takes_up
from assistant.session.state import State

_MOST = 8
"""So many places to go back to are remembered, one behind the other; nobody holds more in mind."""


@takes_up(detours.WentTo)
def _went_to(state: State, fact: detours.WentTo) -> State:
    """Somebody goes elsewhere, or back to where a detour began."""
    back = state.detour
    back = back[: back.index(fact.place)] if fact.place in back else (*back, fact.since)[-_MOST:]
    read = {(place, number - 1) for place, number in fact.hazards}
    return replace(state, detour=back, way_read=state.way_read | read)
