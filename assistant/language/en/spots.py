"""Where a single bolt sits, in words for somebody who stands in front of it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from assistant.procedure.model import Group, LayoutKind

_THIRD = Fraction(1, 3)


def where(group: Group, bolt: int) -> str:
    """Return where ``bolt`` sits on the map of its group, such as "top left"; "" when the map does not say.

    A circle is read as a clock. Rows and free layouts are parted into thirds each way.
    """
    layout = group.layout
    if layout is None:
        return ""
    if layout.kind is LayoutKind.CIRCLE:
        if bolt not in layout.circle:
            return ""
        return _clock(
            layout.circle.index(bolt), len(layout.circle), layout.start.degrees if layout.start else Fraction(0)
        )
    if layout.kind is LayoutKind.ROWS:
        row = next((number for number, bolts in enumerate(layout.rows) if bolt in bolts), None)
        if row is None:
            return ""
        across = _part(layout.rows[row].index(bolt), len(layout.rows[row]))
        said = _thirds(across, 1 - _part(row, len(layout.rows)))
        return said if len(layout.rows) > 1 else said.replace("middle ", "", 1)
    spot = next((one for one in layout.spots if one.bolt == bolt), None)
    if spot is None:
        return ""
    return _thirds(_between(spot.x, [one.x for one in layout.spots]), _between(spot.y, [one.y for one in layout.spots]))


_HOURS = ("twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")


def _clock(number: int, of: int, start: Fraction) -> str:
    hour = round((start + Fraction(360 * number, of)) / 30) % 12
    return f"at {_HOURS[hour]} o'clock"


def _part(number: int, of: int) -> Fraction:
    return Fraction(number, of - 1) if of > 1 else Fraction(1, 2)


def _between(value: Decimal, all_of_them: list[Decimal]) -> Fraction:
    low, high = min(all_of_them), max(all_of_them)
    return Fraction(value - low) / Fraction(high - low) if high > low else Fraction(1, 2)


def _thirds(across: Fraction, up: Fraction) -> str:
    """Say where, by how far to the right and how far up from 0 to 1."""
    side = "left" if across < _THIRD else "right" if across > 2 * _THIRD else "middle"
    height = "bottom" if up < _THIRD else "top" if up > 2 * _THIRD else "middle"
    return "in the middle" if side == height else f"{height} {side}"
