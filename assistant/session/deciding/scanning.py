"""A code was read: a tool is taken, a thing of the preparation is here, or a machine was looked at.

It answers no question and moves nothing: what waits for "confirmed" goes on waiting.
"""

from __future__ import annotations

from assistant.facts.going import ItemFound
from assistant.facts.scan import MachineSeen, PartHere, Scanned, ScanWhat, ToolStands, ToolTaken
from assistant.session.deciding import moving
from assistant.session.deciding.core import Deciding
from assistant.session.scanned import is_machine_of_job, thing_of
from assistant.session.tools.taking import tool_stands


def take_scan(d: Deciding, given: Scanned) -> None:
    """Let happen what the code means here."""
    match given.what:
        case ScanWhat.TOOL:
            how = tool_stands(d, given.names[0])
            d.put(ToolTaken(tool=given.names[0], stands=how))
            if how is ToolStands.NOW:
                moving.settle(d)
        case ScanWhat.PART:
            _part(d, given.names[0])
        case ScanWhat.MACHINE if d.state.asset:
            d.put(MachineSeen(same=is_machine_of_job(d, given.text)))


def _part(d: Deciding, item: str) -> None:
    thing = thing_of(d, item)
    if thing is None:
        return
    if thing in d.state.missing:
        d.put(ItemFound(place=thing[0], number=thing[1]))
    if thing not in d.state.here:
        d.put(PartHere(place=thing[0], number=thing[1], item=item))
