"""The unit in which torque values are said and read."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import Command
from assistant.facts.going import UnitChosen
from assistant.fastening.quantities import TorqueUnit
from assistant.session.deciding import moving
from assistant.session.deciding.core import Deciding
from assistant.session.table import Act

UNIT_OF_INTENT: Mapping[str, TorqueUnit] = {
    "newton_metres": TorqueUnit.NEWTON_METRE,
    "pound_feet": TorqueUnit.POUND_FOOT,
    "pound_inches": TorqueUnit.POUND_INCH,
}
"""Unit by the intent that asks for it."""


def choose_unit(d: Deciding, command: Command) -> None:
    """Say torque values, and take readings, in the unit of ``command`` from now on; tools are chosen by it."""
    d.put(UnitChosen(unit=UNIT_OF_INTENT[command.intent].value))
    moving.settle(d)


def unit_acts() -> dict[str, Act]:
    """Return the acts of a state in which a unit can be chosen."""
    return dict.fromkeys(UNIT_OF_INTENT, choose_unit)
