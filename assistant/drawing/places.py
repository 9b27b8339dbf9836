"""Where bolts sit on a drawing: layouts to coordinates."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.procedure.model import Group, Layout, LayoutKind

Point = tuple[float, float]
_SIZE = 100.0
"""Diameter or width of a layout that has none; any number does, because such a layout is drawn alone."""
_LINE = 10
"""Bolts in a line where nobody knows where they sit."""


@dataclass(frozen=True, slots=True)
class Panel:
    """Groups that are drawn in one frame, and the place of each of their bolts.

    ``points`` are x to the right and y upwards in the scale of the layouts. ``known`` is False where no layout says
    where the bolts sit, and they are only listed.
    """

    groups: tuple[Group, ...]
    points: dict[tuple[str, int], Point]
    circles: tuple[tuple[Point, float], ...] = ()
    """Middle and radius of every circle of bolts."""
    known: bool = True


def panels(groups: Sequence[Group]) -> tuple[Panel, ...]:
    """Return the frames for ``groups``: one for all of them when each has its size, otherwise one for each.

    >>> group = Group("lid", "lid bolts", "six millimetre", (1, 2, 3, 4))
    >>> panels((group,))[0].known
    False
    """
    together = [group for group in groups if group.layout is not None and _has_size(group.layout)]
    alone = [group for group in groups if group not in together]
    found = [_panel(together)] if together else []
    return tuple(found + [_panel([group]) for group in alone])


def least_distance(points: Iterable[Point]) -> float:
    """Return the distance between the two nearest of ``points``; infinity when there is only one place."""
    places = sorted(set(points))
    nearest = math.inf
    for index, one in enumerate(places):
        for other in places[index + 1 :]:
            if other[0] - one[0] >= nearest:
                break
            nearest = min(nearest, math.dist(one, other))
    return nearest


def _has_size(layout: Layout) -> bool:
    match layout.kind:
        case LayoutKind.CIRCLE:
            return layout.diameter is not None
        case LayoutKind.ROWS:
            return layout.width is not None
    return True


def _panel(groups: Sequence[Group]) -> Panel:
    points: dict[tuple[str, int], Point] = {}
    circles = []
    for group in groups:
        layout = group.layout
        if layout is None:
            lines = [group.bolts[first : first + _LINE] for first in range(0, len(group.bolts), _LINE)]
            found = _rows(lines, (0.0, 0.0), _SIZE, _SIZE * (len(lines) - 1) / (_LINE - 1), fixed=_LINE)
        elif layout.kind is LayoutKind.CIRCLE:
            found = _circle(layout)
            if len(layout.circle) > 1:
                circles.append(((float(layout.x), float(layout.y)), float(layout.diameter or _SIZE) / 2))
        elif layout.kind is LayoutKind.ROWS:
            width = float(layout.width or _SIZE)
            longest = max((len(row) for row in layout.rows), default=1)
            height = float(layout.height or width / max(longest - 1, 1) * (len(layout.rows) - 1))
            found = _rows(layout.rows, (float(layout.x), float(layout.y)), width, height)
        else:
            found = {spot.bolt: (float(spot.x), float(spot.y)) for spot in layout.spots}
        points |= {(group.id, bolt): found[bolt] for bolt in group.bolts if bolt in found}
    return Panel(tuple(groups), points, tuple(circles), all(group.layout is not None for group in groups))


def _circle(layout: Layout) -> dict[int, Point]:
    """Return the bolts of a circle, clockwise from the start."""
    start = float(layout.start.degrees) if layout.start is not None else 0.0
    radius = float(layout.diameter or _SIZE) / 2
    step = 360 / max(len(layout.circle), 1)
    turns = [math.radians(start + place * step) for place in range(len(layout.circle))]
    return {
        bolt: (float(layout.x) + radius * math.sin(turn), float(layout.y) + radius * math.cos(turn))
        for bolt, turn in zip(layout.circle, turns, strict=True)
    }


def _rows(
    rows: Sequence[Sequence[int]], middle: Point, width: float, height: float, fixed: int = 0
) -> dict[int, Point]:
    """Return the bolts of rows that are spread over the width; ``fixed`` bolts make a full one."""
    found = {}
    for line, row in enumerate(rows):
        y = middle[1] + height / 2 - (line * height / (len(rows) - 1) if len(rows) > 1 else 0)
        count = max(fixed, len(row))
        for place, bolt in enumerate(row):
            x = middle[0] + (place / (count - 1) - 0.5) * width if count > 1 else middle[0]
            found[bolt] = (x, y)
    return found
