"""Angle at a bolt: how far it closes, what that may do to its force, and the strokes that the space allows."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal

from assistant.fastening.quantities import Angle, AngleUnit
from assistant.faults import Fault

_NICE = Decimal(5)
"""Degrees [°] between the marks that a hand-held gauge or a paint mark can follow; a design choice."""
_MOST_STROKES = 60


def total(angles: Iterable[Angle]) -> Angle:
    """Return the sum of further ``angles`` [degrees or turns] as one angle [°].

    Formula: the sum; each angle comes on top of those before.

    Source: arithmetic, on paper.

    >>> from assistant.fastening.units import parse_angle
    >>> str(total([parse_angle("40°"), parse_angle("25°"), parse_angle("60°")]))
    '125°'
    """
    return sum((angle.to(AngleUnit.DEGREE) for angle in angles), Angle(Decimal(0), AngleUnit.DEGREE))


def stroke_angles(angle: Angle, swing: Angle) -> tuple[Angle, ...] | Fault:
    """Split an angle into strokes [°] that fit into the space.

    ``angle`` [degrees or turns] is to be turned, ``swing`` [degrees or turns] is how far the handle can move. Strokes
    are equal and a whole multiple of five degrees where that needs no more than two extra strokes; otherwise they are
    full swings and a rest. Only forward motion after the slack is taken counts.

    Formula: the strokes add up to the angle; the least number is ceil(angle / swing).

    Source: arithmetic, on paper; that equal strokes are preferred, and by how much, is ours and not published.

    >>> from assistant.fastening.units import parse_angle
    >>> [str(stroke) for stroke in stroke_angles(parse_angle("90°"), parse_angle("40°"))]
    ['30°', '30°', '30°']
    >>> [str(stroke) for stroke in stroke_angles(parse_angle("100°"), parse_angle("45°"))]
    ['25°', '25°', '25°', '25°']
    """
    if swing.value <= 0 or angle.value <= 0:
        return Fault(f"{angle} cannot be turned in strokes of {swing}", "give two angles that are more than zero")
    whole, space = angle.to(AngleUnit.DEGREE).value, swing.to(AngleUnit.DEGREE).value
    least = math.ceil(angle / swing)
    if least > _MOST_STROKES:
        return Fault(
            f"{angle} takes {least} strokes of {swing}", "make more room, or use a ratchet with an angle gauge"
        )
    for count in range(least, least + 3):
        if (whole / count) % _NICE == 0 or count == 1:
            return (Angle(whole / count, AngleUnit.DEGREE),) * count
    full = Angle(space, AngleUnit.DEGREE)
    rest = whole - space * (least - 1)
    return (*([full] * (least - 1)), Angle(rest, AngleUnit.DEGREE))
