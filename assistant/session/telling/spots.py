"""Where a single bolt sits, for somebody who stands in front of it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from assistant.language.topics.trade import Bolts
from assistant.procedure.model import Group, LayoutKind

_THIRD = Fraction(1, 3)


def where_it_sits(say: Bolts, group: Group, bolt: int) -> str:
    """Say where ``bolt`` sits on the map of its group, such as "top left"; "" when the map does not say.

    A circle is read as a clock. Rows and free layouts are parted into thirds each way.
    """
    layout = group.layout
    if layout is None:
        return ""
    if layout.kind is LayoutKind.CIRCLE:
        if bolt not in layout.circle:
            return ""
        start = layout.start.degrees if layout.start else Fraction(0)
        turned = start + Fraction(360 * layout.circle.index(bolt), len(layout.circle))
        return say.at_hour(round(turned / 30) % 12)
    if layout.kind is LayoutKind.ROWS:
        row = next((number for number, bolts in enumerate(layout.rows) if bolt in bolts), None)
        if row is None:
            return ""
        across = _part(layout.rows[row].index(bolt), len(layout.rows[row]))
        up = _third(1 - _part(row, len(layout.rows))) if len(layout.rows) > 1 else None
        return say.in_thirds(_third(across), up)
    spot = next((one for one in layout.spots if one.bolt == bolt), None)
    if spot is None:
        return ""
    across, high = _between(spot.x, [one.x for one in layout.spots]), _between(spot.y, [one.y for one in layout.spots])
    return say.in_thirds(_third(across), _third(high))


def _part(number: int, of: int) -> Fraction:
    return Fraction(number, of - 1) if of > 1 else Fraction(1, 2)


def _between(value: Decimal, all_of_them: list[Decimal]) -> Fraction:
    low, high = min(all_of_them), max(all_of_them)
    return Fraction(value - low) / Fraction(high - low) if high > low else Fraction(1, 2)


def _third(part: Fraction) -> int:
    """Return -1, 0 or 1 for the lowest, the middle and the highest third of what goes from 0 to 1."""
    return -1 if part < _THIRD else 1 if part > 2 * _THIRD else 0
