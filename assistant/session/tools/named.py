"""The tool that the procedure names for bolts: whether it is used, and what must be said first when it is not.

A multiplier changes what a number means, so one that is named is never passed over in silence.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from assistant.facts.codes import Way, Why
from assistant.facts.kinds.tighten import LeadCode
from assistant.fastening.choice import Choice, Need, choices
from assistant.fastening.faults import Unfit
from assistant.fastening.multiplier import ratio_unknown
from assistant.fastening.tools import TorqueMultiplier
from assistant.language.chosen import WRITTEN
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk
from assistant.session.here import Here

_OUT_OF_REACH = {Why.BELOW_SCALE, Why.ABOVE_SCALE, Why.RATING}


@dataclass(frozen=True, slots=True)
class Lead:
    """What is said first about a ``tool`` (id, with its ``name``); ``why`` says more behind the value."""

    code: LeadCode
    tool: str = ""
    name: str = ""
    why: Unfit | None = None


def name_of(here: Here, tool: str) -> str:
    """Return how a tool is called: as the tool file has it, or the procedure."""
    known = here.box.names().get(tool) if here.box else None
    return known or (here.job.items[tool].name if tool in here.job.items else tool)


def known_multiplier(here: Here, tool: str) -> TorqueMultiplier | None:
    """Return the multiplier with the id ``tool`` of the tool file."""
    return next((one for one in here.box.multipliers if one.id == tool), None) if here.box else None


def _is_multiplier(here: Here, tool: str) -> bool:
    """Return whether a tool is a multiplier: by the tool file, or by its name where the file does not have it."""
    if here.box is not None and tool in here.box.names():
        return known_multiplier(here, tool) is not None
    return WRITTEN.needs.is_multiplier(f"{tool} {name_of(here, tool)}")


def is_turned_with(here: Here, tool: str) -> bool:
    """Return whether bolts are turned with a tool, so that another one of the bay may be chosen in its place."""
    return _is_wrench(here, tool) or _is_multiplier(here, tool)


def multiplier_of(here: Here, step: TightenStep, chunk: Chunk) -> str:
    """Return the id of the multiplier that is named for ``chunk``, or for its step where it has none; "" for none."""
    if chunk.tool is not None and _is_multiplier(here, chunk.tool):
        return chunk.tool
    return next((tool for tool in step.tools if _is_multiplier(here, tool)), "")


def through(here: Here, step: TightenStep, chunk: Chunk) -> str:
    """Return the id of the multiplier that ``chunk`` is done with; "" for none.

    Bolts for which a wrench is named are not done with the multiplier of their step.
    """
    return "" if chunk.tool is not None and _is_wrench(here, chunk.tool) else multiplier_of(here, step, chunk)


def _is_wrench(here: Here, tool: str) -> bool:
    """Return whether a tool is a torque wrench: by the tool file, or by its name where the file does not have it."""
    if here.box is not None and tool in here.box.names():
        return any(one.id == tool for one in here.box.wrenches)
    return WRITTEN.needs.is_wrench(f"{tool} {name_of(here, tool)}") and not _is_multiplier(here, tool)


def turned_through(here: Here, step: TightenStep, chunk: Chunk) -> tuple[str, TorqueMultiplier | None] | None:
    """Return through which multiplier a further angle is turned: its id, and what the tool file knows of it.

    It is the one that is named for them or their step, else the one that these bolts got their torque through. Where
    another tool is named for them, and their torque is known to have come without one, there is none.
    """
    if chunk.way is not Way.ANGLE:
        return None
    own = chunk.tool is not None and not _is_multiplier(here, chunk.tool)
    tool = "" if own and chunk.group in here.state.multiplied else through(here, step, chunk)
    if not tool and (chunk.tool is None or not _is_wrench(here, chunk.tool)):
        tool = here.state.multiplied.get(chunk.group, "")
    return (tool, known_multiplier(here, tool)) if tool else None


def no_ratio(here: Here, step: TightenStep, chunk: Chunk) -> Lead | None:
    """Return what is said first where ``chunk`` takes a torque through a multiplier whose ratio is not known."""
    tool = through(here, step, chunk)
    known = known_multiplier(here, tool)
    if not tool or chunk.within.is_angle or (known is not None and known.torque_ratio is not None):
        return None
    name = name_of(here, tool)
    why = ratio_unknown(known, "torque") if known else None
    return Lead(LeadCode.NO_RATIO, tool, name, why)


def leads(
    here: Here, step: TightenStep, chunk: Chunk, need: Need, choice: Choice | None, day: date
) -> tuple[Lead, ...]:
    """Return what is said before the numbers of ``chunk``, whose ``need`` is met with ``choice`` on ``day``."""
    if here.box is None:
        return ()
    found = []
    multiplier = multiplier_of(here, step, chunk)
    if multiplier and (choice is None or choice.multiplier is None or choice.multiplier.id != multiplier):
        found.append(Lead(LeadCode.WITHOUT, multiplier, name_of(here, multiplier)))
    if choice is None:
        found.append(Lead(LeadCode.NOTHING))
    elif chunk.tool is not None and chunk.tool != multiplier:
        if chunk.tool not in here.box.names():
            found.append(Lead(LeadCode.NOT_IN_FILE, chunk.tool, name_of(here, chunk.tool)))
        elif (lead := _wrench(here, chunk.tool, need, choice, day)) is not None:
            found.append(lead)
    return tuple(found)


def _wrench(here: Here, tool: str, need: Need, choice: Choice, day: date) -> Lead | None:
    """Return what is said first when the wrench that the stage names does not give the value of ``need``."""
    assert here.box is not None
    wrench = next((one for one in here.box.wrenches if one.id == tool), None)
    if wrench is None or (choice.wrench.id == tool and choice.multiplier is None):
        return None
    if choice.wrench.id == tool:
        return Lead(LeadCode.ALONE, tool, wrench.name)
    alone = replace(here.box, wrenches=(wrench,), multipliers=())
    found = choices(replace(need, adapter=None, multiplier=None), alone, day)
    if not isinstance(found, Unfit):
        return None  # it can, and another one was preferred: for the unit, or for fewer changes
    reason = found.reasons[0] if found.reasons else found
    return Lead(LeadCode.OUT_OF_REACH if reason.code in _OUT_OF_REACH else LeadCode.CANNOT, tool, wrench.name, reason)
