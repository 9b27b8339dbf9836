"""How a tool that somebody took by its label stands to the bolts that the job is at."""

from __future__ import annotations

from assistant.facts.codes import Way
from assistant.facts.scan import ToolStands, ToolTaken
from assistant.fastening.calibration import calibration_day
from assistant.fastening.faults import Unfit
from assistant.fastening.tool_plan import due_fault
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import bolt_place
from assistant.session.evolving.table import evolve
from assistant.session.here import Here
from assistant.session.tools.chosen import choice_at, stage_tools


def tool_stands(here: Here, tool: str) -> ToolStands:
    """Return how the tool with the id ``tool`` stands to the present bolts."""
    step, place = here.step, bolt_place(here)
    if place is None or not isinstance(step, TightenStep) or here.unread is not None:
        return ToolStands.NO_BOLTS
    chunk = place[0]
    if chunk.way is Way.ANGLE:
        planned = stage_tools(here, step, chunk.turn)
        gauge = planned.gauge if planned else None
        return ToolStands.CHOSEN if gauge is not None and gauge.id == tool else ToolStands.NO_BOLTS
    chosen = choice_at(here)
    if chosen is not None and tool in chosen.tools:
        return ToolStands.CHOSEN
    wrenches = {wrench.id for wrench in here.box.wrenches} if here.box else set()
    if tool not in wrenches:
        sockets = {socket.id for socket in here.box.sockets} if here.box else set()
        return ToolStands.NO_BOLTS if tool in sockets else ToolStands.CANNOT
    if chunk.tool in wrenches:
        return ToolStands.NAMED_OTHER
    after = choice_at(Here(here.job, evolve(here.state, ToolTaken(tool=tool, stands=ToolStands.NOW)), here.now_ms))
    return ToolStands.NOW if after is not None and after.wrench.id == tool else ToolStands.CANNOT


def due_of(here: Here, tool: str) -> Unfit | None:
    """Return that the wrench with the id ``tool`` is due for calibration; None where it is not, or is no wrench."""
    box = here.box.with_clicks(here.state.clicks) if here.box else None
    wrench = next((one for one in box.wrenches if one.id == tool), None) if box else None
    return None if wrench is None else due_fault(wrench, calibration_day(here.now_ms))
