"""What was read as codes: tools that were taken, and things of the preparation that are here."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import scan
from assistant.session.evolving.table import takes_up
from assistant.session.state import State

_MOST_TAKEN = 8
"""So many tools that were taken are remembered: more than anybody has at hand."""


@takes_up(scan.ToolTaken)
def _tool_taken(state: State, fact: scan.ToolTaken) -> State:
    """Somebody has a tool in the hand; bolts that it is chosen for now are planned anew."""
    before = tuple(tool for tool in state.taken if tool != fact.tool)
    planned = {} if fact.stands is scan.ToolStands.NOW else state.planned
    return replace(state, taken=(*before, fact.tool)[-_MOST_TAKEN:], planned=planned)


@takes_up(scan.PartHere)
def _part_here(state: State, fact: scan.PartHere) -> State:
    """A thing of the preparation is here."""
    return replace(state, here=state.here | {(fact.place, fact.number)})
