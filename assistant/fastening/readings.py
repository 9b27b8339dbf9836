"""A value that was read off at a bolt, against its limits, or a general tolerance where there are none.

The general tolerance is that of the wrench's class (ISO 6789-1:2017, 5.1.5, from memory) and a margin of our own. With
the usual wrench of 4 percent it is the 10 percent of US Army TM 9-2320-362-14&P, appendix F, for values without one.
It is no specification: it only tells a reading that is plainly off from one that can be meant.
"""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.codes import Side
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit, for_the_ear
from assistant.faults import Fault


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


MARGIN = Decimal(6)
"""Percent on top of the tool's own class; ours."""
WIDEST_CLASS, USUAL_CLASS = Decimal(6), Decimal(4)
"""Percent (ISO 6789-1:2017, 5.1.5, from memory): the widest class, for a wrench that is not known; that of most."""
LEAST_ANGLE = Angle(Decimal(2), AngleUnit.DEGREE)
"""What an angle may be off at least: one marking of a usual gauge (common practice, no source)."""


def general_tolerance(target: Torque | Angle, accuracy: Decimal | None = None) -> Decimal:
    """Return how far a reading may lie from its ``target`` [torque or angle] where the procedure has no limits [%].

    ``accuracy`` [%] is that of the wrench, with what is put between; None where it is not known. The standard knows no
    angles: for them it is the class of most wrenches.

    Formula: accuracy + margin.

    Source: ISO 6789-1:2017, 5.1.5 (from memory); the margin is ours.

    >>> from assistant.fastening.units import parse_torque
    >>> general_tolerance(parse_torque("5 N·m"), Decimal(4)), general_tolerance(parse_torque("5 N·m"))
    (Decimal('10'), Decimal('12'))
    """
    if isinstance(target, Angle):
        return USUAL_CLASS + MARGIN
    return (WIDEST_CLASS if accuracy is None else accuracy) + MARGIN


def general_limits(
    target: Torque | Angle, accuracy: Decimal | None = None
) -> tuple[Torque, Torque] | tuple[Angle, Angle]:
    """Return the lowest and highest reading [unit of ``target``] that can be meant for a ``target`` [torque or angle].

    ``accuracy`` [%] as in :func:`general_tolerance`. Rounded to the inside, as limits are spoken.

    Formula: target x (1 -+ tolerance / 100); an angle may always be off by :data:`LEAST_ANGLE`.

    Source: see :func:`general_tolerance`.

    >>> from assistant.fastening.units import parse_angle, parse_torque
    >>> [str(end) for end in general_limits(parse_torque("63 N·m"), Decimal(4))]
    ['56.7 N·m', '69.3 N·m']
    >>> [str(end) for end in general_limits(parse_angle("90°"))]
    ['81°', '99°']
    """
    part = general_tolerance(target, accuracy) / 100
    if isinstance(target, Angle):
        degrees = target.to(AngleUnit.DEGREE)
        off = max(degrees * part, LEAST_ANGLE)
        low, high = max((degrees - off).value, Decimal(0)), (degrees + off).value
        return (
            Angle(for_the_ear(low, up=True), AngleUnit.DEGREE),
            Angle(for_the_ear(high), AngleUnit.DEGREE),
        )
    return (
        Torque(for_the_ear(target.value * (1 - part), up=True), target.unit),
        Torque(for_the_ear(target.value * (1 + part)), target.unit),
    )


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
