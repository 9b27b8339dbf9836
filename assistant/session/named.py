"""The tool that the procedure names for a stage: whether it is used, and what must be said first when it is not.

A multiplier changes what a number means, so one that is named is never passed over in silence.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from assistant.fastening.choice import Choice, Need, choices
from assistant.fastening.faults import Unfit, Why
from assistant.fastening.multiplier import ratio_unknown
from assistant.fastening.programme import Way
from assistant.fastening.tools import TorqueMultiplier
from assistant.language.chosen import WRITTEN
from assistant.procedure.steps.tighten import Stage, TightenStep
from assistant.session.engine import Engine
from assistant.session.places import Chunk

_OUT_OF_REACH = {Why.BELOW_SCALE, Why.ABOVE_SCALE, Why.RATING}


class First(StrEnum):
    """Why something is said before any number: the tool that the procedure names is not used as it stands there."""

    WITHOUT = "without"
    """The multiplier is left out."""
    NO_RATIO = "no_ratio"
    """The ratio of the multiplier is not known: nothing can be worked out, and no number is given."""
    OUT_OF_REACH = "out_of_reach"
    ALONE = "alone"
    """The wrench reaches the value only through a multiplier."""
    CANNOT = "cannot"
    NOT_IN_FILE = "not_in_file"
    NOTHING = "nothing"
    """No tool suits."""


@dataclass(frozen=True, slots=True)
class Lead:
    """What is said first about a ``tool`` (id, with its ``name``); ``why`` says more behind the value."""

    code: First
    tool: str = ""
    name: str = ""
    why: Unfit | None = None


def name_of(e: Engine, tool: str) -> str:
    """Return how a tool is called: as the tool file has it, or the procedure."""
    known = e.tools.names().get(tool) if e.tools else None
    return known or (e.items[tool].name if tool in e.items else tool)


def known_multiplier(e: Engine, tool: str) -> TorqueMultiplier | None:
    """Return the multiplier with the id ``tool`` of the tool file."""
    return next((one for one in e.tools.multipliers if one.id == tool), None) if e.tools else None


def _is_multiplier(e: Engine, tool: str) -> bool:
    """Return whether a tool is a multiplier: by the tool file, or by its name where the file does not have it."""
    if e.tools is not None and tool in e.tools.names():
        return known_multiplier(e, tool) is not None
    return WRITTEN.needs.is_multiplier(f"{tool} {name_of(e, tool)}")


def multiplier_of(e: Engine, step: TightenStep, stage: Stage) -> str:
    """Return the id of the multiplier that ``stage`` names, or its step where the stage names none; "" for none."""
    if stage.tool is not None and _is_multiplier(e, stage.tool):
        return stage.tool
    return next((tool for tool in step.tools if _is_multiplier(e, tool)), "")


def through(e: Engine, step: TightenStep, stage: Stage) -> str:
    """Return the id of the multiplier that ``stage`` is done with; "" for none.

    A stage that names a wrench of its own is not done with the multiplier of its step.
    """
    return "" if stage.tool is not None and _is_wrench(e, stage.tool) else multiplier_of(e, step, stage)


def _is_wrench(e: Engine, tool: str) -> bool:
    """Return whether a tool is a torque wrench: by the tool file, or by its name where the file does not have it."""
    if e.tools is not None and tool in e.tools.names():
        return any(one.id == tool for one in e.tools.wrenches)
    return WRITTEN.needs.is_wrench(f"{tool} {name_of(e, tool)}") and not _is_multiplier(e, tool)


def turned_through(e: Engine, step: TightenStep, chunk: Chunk) -> tuple[str, TorqueMultiplier | None] | None:
    """Return through which multiplier a further angle is turned: its id, and what the tool file knows of it.

    It is the one that the stage or its step names, else the one that these bolts got their torque through.
    """
    if chunk.way is not Way.ANGLE:
        return None
    stage = step.stages[chunk.stage - 1]
    tool = through(e, step, stage)
    if not tool and (stage.tool is None or not _is_wrench(e, stage.tool)):
        tool = e.state.multiplied.get(chunk.group, "")
    return (tool, known_multiplier(e, tool)) if tool else None


def no_ratio(e: Engine, step: TightenStep, stage: Stage) -> Lead | None:
    """Return what is said first where ``stage`` takes a torque through a multiplier whose ratio is not known."""
    tool = through(e, step, stage)
    known = known_multiplier(e, tool)
    if not tool or stage.is_angle or (known is not None and known.torque_ratio is not None):
        return None
    name = name_of(e, tool)
    why = ratio_unknown(known, "torque") if known else None
    return Lead(First.NO_RATIO, tool, name, why)


def leads(e: Engine, step: TightenStep, chunk: Chunk, need: Need, choice: Choice | None, day: date) -> tuple[Lead, ...]:
    """Return what is said before the numbers of ``chunk``, whose ``need`` is met with ``choice`` on ``day``."""
    if e.tools is None:
        return ()
    stage = step.stages[chunk.stage - 1]
    found = []
    multiplier = multiplier_of(e, step, stage)
    if multiplier and (choice is None or choice.multiplier is None or choice.multiplier.id != multiplier):
        found.append(Lead(First.WITHOUT, multiplier, name_of(e, multiplier)))
    if choice is None:
        found.append(Lead(First.NOTHING))
    elif stage.tool is not None and stage.tool != multiplier:
        if stage.tool not in e.tools.names():
            found.append(Lead(First.NOT_IN_FILE, stage.tool, name_of(e, stage.tool)))
        elif (lead := _wrench(e, stage.tool, need, choice, day)) is not None:
            found.append(lead)
    return tuple(found)


def _wrench(e: Engine, tool: str, need: Need, choice: Choice, day: date) -> Lead | None:
    """Return what is said first when the wrench that the stage names does not give the value of ``need``."""
    assert e.tools is not None
    wrench = next((one for one in e.tools.wrenches if one.id == tool), None)
    if wrench is None or (choice.wrench.id == tool and choice.multiplier is None):
        return None
    if choice.wrench.id == tool:
        return Lead(First.ALONE, tool, wrench.name)
    alone = replace(e.tools, wrenches=(wrench,), multipliers=())
    found = choices(replace(need, adapter=None, multiplier=None), alone, day)
    if not isinstance(found, Unfit):
        return None  # it can, and another one was preferred: for the unit, or for fewer changes
    reason = found.reasons[0] if found.reasons else found
    return Lead(First.OUT_OF_REACH if reason.code in _OUT_OF_REACH else First.CANNOT, tool, wrench.name, reason)
