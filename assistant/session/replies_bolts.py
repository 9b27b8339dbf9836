"""Sentences about tightening, asked of English with what the session has, until it asks the port."""

from __future__ import annotations

from decimal import Decimal

from assistant.fastening.choice import Choice
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.tools import TorqueMultiplier
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.faults import Fault
from assistant.language.en import bolts, tools
from assistant.procedure.model import Group
from assistant.session.named import Lead
from assistant.session.state import OffReading

accept_bolt, add_drag, between, edge, long_pause, loosen, loosened_ask, measured = (
    bolts.accept_bolt,
    bolts.add_drag,
    bolts.between,
    bolts.edge,
    bolts.long_pause,
    bolts.loosen,
    bolts.loosened_ask,
    bolts.measured,
)
no_torque, replace_ask, replaced, strokes, too_many_strokes, unit_from_now = (
    bolts.no_torque,
    bolts.replace_ask,
    bolts.replaced,
    bolts.strokes,
    bolts.too_many_strokes,
    bolts.unit_from_now,
)
between_tool, no_gear_ratio, procedure_names, tool_words, trouble, use, wrench_at = (
    tools.between_tool,
    tools.no_gear_ratio,
    tools.procedure_names,
    tools.tool_words,
    tools.trouble,
    tools.use,
    tools.wrench_at,
)


def accuracy(choice: Choice) -> str:
    """Say how exact the chain of tools is."""
    return tools.accuracy(choice.accuracy)


def lead(one: Lead) -> str:
    """Say that the tool which the procedure names is not used as it stands there."""
    return tools.lead(one.code, one.name)


def at_handle(angle: Angle, multiplier: TorqueMultiplier) -> list[str]:
    """Say a further angle at the bolt and at the handle of a multiplier."""
    handle = handle_angle(angle, multiplier)
    if isinstance(handle, Fault):
        return [no_gear_ratio(multiplier.name)]
    return tools.at_handle(angle, handle)


def new_ask(group: Group) -> str:
    """Ask for the word that single-use fasteners are new."""
    return bolts.new_ask(group.name, len(group.bolts))


def off(bolt: int, reading: OffReading, tolerance: Decimal | None, *, at_bolt: bool = False) -> str:
    """Say that what was read off at a bolt is out of limits."""
    number = Decimal(reading.value)
    value = (
        Angle(number, AngleUnit.DEGREE)
        if reading.unit == AngleUnit.DEGREE
        else Torque(number, TorqueUnit(reading.unit))
    )
    return bolts.off(bolt, value, tolerance, below=reading.side == "below", at_bolt=at_bolt)
