"""Values of journal entries as they are printed: targets, limits, readings, bolt numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit

Data = Mapping[str, Any]


def printed_value(value: Any) -> str:
    """Return a value with its unit as it is printed, such as 35.5 N·m; "" for none."""
    if not isinstance(value, Mapping) or value.get("value") is None:
        return ""
    unit = str(value.get("unit", ""))
    return f"{value['value']}{unit}" if unit == "°" else f"{value['value']} {unit}".rstrip()


def target_words(data: Data) -> str:
    """Return the target of a tightening as it is printed."""
    target = data.get("target")
    if target is None:
        return "loosened" if data.get("way") == "loosen" else ""
    words = printed_value(target)
    if data.get("way") == "loosen":
        return f"{words} back"
    return f"{words} further" if isinstance(target, Mapping) and target.get("further") else words


def limits_words(limits: Any, unit: str) -> str:
    """Return limits as they are printed; "" where none are given."""
    low, high = (limits.get("low"), limits.get("high")) if isinstance(limits, Mapping) else (None, None)
    space = "" if unit == "°" else " "
    if low is not None and high is not None:
        return f"{low} to {high}{space}{unit}"
    if low is not None:
        return f"at least {low}{space}{unit}"
    return f"at most {high}{space}{unit}" if high is not None else ""


def tolerated_words(data: Data, unit: str) -> str:
    """Return what a reading was held to, as it is printed: limits in ``unit``, and the general tolerance."""
    tolerance = data.get("tolerance")
    general = f"general ±{tolerance} %" if tolerance else ""
    return ", ".join(words for words in (limits_words(data.get("limits"), unit), general) if words)


def quantity_of(value: Any) -> Torque | Angle | None:
    """Return a value with its unit as a quantity; None when it is none."""
    if not isinstance(value, Mapping):
        return None
    try:
        number, unit = Decimal(str(value["value"])), str(value["unit"])
        return Angle(number, AngleUnit.DEGREE) if unit == AngleUnit.DEGREE.value else Torque(number, TorqueUnit(unit))
    except (ArithmeticError, LookupError, ValueError):
        return None


def unit_of(data: Data) -> str:
    """Return the unit of the target of a tightening, in which its limits stand."""
    target = data.get("target")
    return str(target.get("unit", "")) if isinstance(target, Mapping) else ""


def numbers(bolts: Any) -> str:
    """Return bolt numbers as they are printed."""
    return ", ".join(str(bolt) for bolt in bolts) if isinstance(bolts, Sequence) else str(bolts)
