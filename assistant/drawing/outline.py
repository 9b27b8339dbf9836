"""The line around the bolts of a drawing, which stands for the part that they hold. Pure.

Nobody measured the part: it is the least convex polygon that holds all bolts, by the monotone chain of A. M. Andrew
("Another efficient algorithm for convex hulls in two dimensions", 1979; from memory), compared with scipy in the tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

PointAt = tuple[float, float]


def part_outline(places: Iterable[PointAt]) -> list[PointAt]:
    """Return the corners around ``places`` [one unit], in turn; two for bolts in one line, none for fewer than two.

    >>> outline([(0, 0), (4, 0), (4, 3), (0, 3), (2, 1)])
    [(0, 0), (4, 0), (4, 3), (0, 3)]
    """
    points = sorted(set(places))
    if len(points) < 2:
        return []
    return [*_half(points), *_half(points[::-1])]


def _half(points: Sequence[PointAt]) -> list[PointAt]:
    """Return the corners of one side of the polygon, without its last one, which the other side begins with."""
    side: list[PointAt] = []
    for point in points:
        while len(side) > 1 and _turn(side[-2], side[-1], point) <= 0:
            side.pop()
        side.append(point)
    return side[:-1]


def _turn(one: PointAt, two: PointAt, three: PointAt) -> float:
    """Return more than zero where the way over the three places turns left."""
    return (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])
