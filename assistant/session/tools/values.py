"""Torques and angles as they are said and read off, and as they stand in facts."""

from __future__ import annotations

from dataclasses import replace

from assistant.facts import Bounds, Quantity
from assistant.fastening.choice import Choice
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit, for_the_ear
from assistant.procedure.model import Limits
from assistant.session.chunks import Chunk
from assistant.session.here import Here


def in_unit(here: Here, value: Torque | Angle, *, up: bool = False) -> Torque | Angle:
    """Return a torque in the unit that was asked for, rounded down (or ``up``) to a tenth, or a hundredth below ten."""
    unit = here.state.unit
    if unit is None or not isinstance(value, Torque) or value.unit is unit:
        return value
    return Torque(for_the_ear(value.to(unit).value, up=up), unit)


def said_limit(here: Here, limit: Torque | Angle, *, up: bool) -> Torque | Angle:
    """Return a limit as it is said: in the unit that was asked for, and what a percentage made of it rounded inside."""
    said = in_unit(here, limit, up=up)
    exponent = said.value.normalize().as_tuple().exponent
    if not isinstance(exponent, int) or exponent >= -2:
        return said
    return replace(said, value=for_the_ear(said.value, up=up))


def check_limits(here: Here, limits: Limits) -> Limits:
    """Return the limits of a check in the unit that was asked for, rounded to the inside; others as they are."""
    if here.state.unit is None or limits.unit not in set(TorqueUnit):
        return limits
    unit = TorqueUnit(limits.unit)
    low, high = (
        None if end is None else in_unit(here, Torque(end, unit), up=up).value
        for end, up in ((limits.low, True), (limits.high, False))
    )
    return Limits(low, high, here.state.unit.value)


def is_plain(here: Here, chunk: Chunk, choice: Choice) -> bool:
    """Return whether the setting is the target itself, so that one number says both."""
    apart = choice.adapter is not None or choice.multiplier is not None or chunk.of.drag is not None
    return not apart and chunk.target is not None and choice.setting == in_unit(here, chunk.target)


def as_quantity(value: Torque | Angle | None) -> Quantity | None:
    """Return a value for a fact: a torque in its own unit, an angle in degrees."""
    if isinstance(value, Angle):
        return Quantity(value.to(AngleUnit.DEGREE).value, AngleUnit.DEGREE.value)
    return None if value is None else Quantity(value.value, value.unit.value)


def value_of(quantity: Quantity) -> Torque | Angle:
    """Return the torque or the angle that stands in a fact."""
    if quantity.unit == AngleUnit.DEGREE.value:
        return Angle(quantity.value, AngleUnit.DEGREE)
    return Torque(quantity.value, TorqueUnit(quantity.unit))


def bounds_of(chunk: Chunk) -> Bounds:
    """Return the limits of a chunk for a fact, in the unit of its target."""
    low, high = (as_quantity(_like(end, chunk.target)) for end in (chunk.of.low, chunk.of.high))
    return Bounds(low.value if low else None, high.value if high else None)


def _like(end: Torque | Angle | None, target: Torque | Angle | None) -> Torque | Angle | None:
    """Return a limit in the unit of its target."""
    return end.to(target.unit) if isinstance(end, Torque) and isinstance(target, Torque) else end
