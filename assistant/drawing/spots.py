"""Where a single bolt sits on the map of its group, for somebody who stands in front of it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from assistant.procedure.model import Group, LayoutKind


class Hour(NamedTuple):
    """On a circle, read as a clock: ``hour`` from 0 at the top to 11."""

    hour: int


class Thirds(NamedTuple):
    """In rows or on a free layout: -1 left or bottom, 0 middle, 1 right or top; ``up`` is None in a single row."""

    across: int
    up: int | None


def spot_of(group: Group, bolt: int) -> Hour | Thirds | None:
    """Return where ``bolt`` sits on the map of its group; None when the map does not say."""
    layout = group.layout
    if layout is None:
        return None
    if layout.kind is LayoutKind.CIRCLE:
        if bolt not in layout.circle:
            return None
        start = layout.start.degrees if layout.start else Fraction(0)
        return Hour(round((start + Fraction(360 * layout.circle.index(bolt), len(layout.circle))) / 30) % 12)
    if layout.kind is LayoutKind.ROWS:
        row = next((number for number, bolts in enumerate(layout.rows) if bolt in bolts), None)
        if row is None:
            return None
        across = _third(_part(layout.rows[row].index(bolt), len(layout.rows[row])))
        return Thirds(across, _third(1 - _part(row, len(layout.rows))) if len(layout.rows) > 1 else None)
    spot = next((one for one in layout.spots if one.bolt == bolt), None)
    if spot is None:
        return None
    across = _third(_between(spot.x, [one.x for one in layout.spots]))
    return Thirds(across, _third(_between(spot.y, [one.y for one in layout.spots])))


def _part(number: int, of: int) -> Fraction:
    return Fraction(number, of - 1) if of > 1 else Fraction(1, 2)


def _between(value: Decimal, all_of_them: list[Decimal]) -> Fraction:
    low, high = min(all_of_them), max(all_of_them)
    return Fraction(value - low) / Fraction(high - low) if high > low else Fraction(1, 2)


def _third(part: Fraction) -> int:
    """Return the third in which ``part``, from 0 to 1, lies: -1, 0 or 1."""
    return -1 if 3 * part < 1 else 1 if 3 * part > 2 else 0
