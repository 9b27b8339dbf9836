"""A value that was read off at a bolt, against its limits."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum

from assistant.fastening.faults import Fault
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit


class Side(StrEnum):
    """Where a reading lies; a limit itself is within."""

    WITHIN = "within"
    BELOW = "below"
    ABOVE = "above"


def with_unit(number: Decimal, unit: TorqueUnit | AngleUnit) -> Torque | Angle | Fault:
    """Return a spoken ``number`` [``unit``] as a quantity; ``unit`` [torque or angle] is the tool's unless said.

    Formula: number times unit.

    Source: ours.

    >>> str(with_unit(Decimal("35.5"), TorqueUnit.POUND_FOOT))
    '35.5 lbf·ft'
    """
    if not number.is_finite() or number < 0:
        return Fault(f"{number} cannot be a reading", "say a number of zero or more")
    return Torque(number, unit) if isinstance(unit, TorqueUnit) else Angle(number, unit)


def compare(reading: Torque | Angle, low: Torque | Angle | None, high: Torque | Angle | None) -> Side | Fault:
    """Compare a ``reading`` [torque or angle] with ``low`` and ``high`` [same kind, any unit of it], exactly.

    Formula: low <= reading <= high.

    Source: none needed.

    >>> from assistant.fastening.units import parse_torque
    >>> compare(parse_torque("33 lbf·ft"), parse_torque("40 N·m"), parse_torque("44 N·m")).value
    'above'
    """
    for limit in (low, high):
        if limit is not None and type(limit) is not type(reading):
            return Fault(f"{reading} cannot be compared with {limit}", "give a reading of the same kind as the limits")
    if low is not None and high is not None and low.size > high.size:
        return Fault(f"The limits {low} and {high} are the wrong way round", "write the lower one first")
    if low is not None and reading.size < low.size:
        return Side.BELOW
    if high is not None and reading.size > high.size:
        return Side.ABOVE
    return Side.WITHIN
