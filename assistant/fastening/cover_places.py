"""Where the bolts of a cover sit, in its own measure: the middle, the usual gap, and the rings around the middle.

Nothing here depends on how the cover is turned, mirrored or scaled: lengths are compared with the gap between
neighbours, and what is equal up to the rounding of a drawing counts as equal.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from assistant.faults import Fault

CoverPoint = tuple[float, float]
"""To the right and upwards, in any one unit of length."""
STEPS = 314159.2
"""Steps in the size of a cover to which a distance is rounded; odd, so that no plain fraction falls between two."""
_SAME = 1e-6
"""Part of the size of a cover within which two places are one."""
_FLAT = 1e-6
"""Area between bolts, as a part of their size squared, under which they stand in one line."""


@dataclass(frozen=True, slots=True)
class Cover:
    """Bolts by their numbers with their places; ``size`` is the largest distance, ``gap`` the usual one to the nearest.

    ``rings`` go from the middle outward: bolts that are about as far from the middle, each ring clockwise.
    """

    places: Mapping[int, CoverPoint]
    middle: CoverPoint
    size: float
    gap: float
    rings: tuple[tuple[int, ...], ...]
    in_line: bool

    def steps(self, one: int, other: int) -> int:
        """Return the distance from ``one`` [bolt number] to ``other`` [bolt number] in whole steps of the cover.

        Steps are so coarse that distances which are equal but for rounding are equal.
        """
        return round(math.dist(self.places[one], self.places[other]) / self.size * STEPS)

    def next_on_ring(self) -> dict[int, frozenset[int]]:
        """Return for each bolt the two beside it on its ring; none on rings of four and fewer, where all are beside."""
        return {
            bolt: frozenset((ring[at - 1], ring[(at + 1) % len(ring)])) if len(ring) > 4 else frozenset()
            for ring in self.rings
            for at, bolt in enumerate(ring)
        }


def cover_of(places: Mapping[int, CoverPoint]) -> Cover | Fault:
    """Return the cover whose bolts [numbers] sit at ``places`` [any one unit of length].

    Formula: the middle is the centre of area of the outline (convex hull); bolts are parted into
    rings at the largest jumps of their distance from it, until a ring is no deeper than half of the median gap between
    nearest neighbours.

    Source: the centre of area of a polygon is the shoelace formula; the rings are ours.

    >>> cover_of({1: (0, 0), 2: (4, 0), 3: (4, 4), 4: (0, 4), 5: (2, 2)}).rings[0]
    (5,)
    """
    if not places:
        return Fault("There is no bolt in the layout", "give every bolt its place")
    bolts = sorted(places)
    if len(bolts) == 1:
        only = places[bolts[0]]
        return Cover(dict(places), only, 1.0, 1.0, ((bolts[0],),), True)
    nearest = {
        bolt: min((math.dist(places[bolt], places[other]), other) for other in bolts if other != bolt) for bolt in bolts
    }
    size = max(math.dist(places[one], places[other]) for one in bolts for other in bolts)
    for bolt, (distance, other) in nearest.items():
        if distance <= size * _SAME:
            return Fault(f"Bolts {bolt} and {other} sit on one spot", "give every bolt a place of its own")
    edge = outline([places[bolt] for bolt in bolts], size)
    in_line = len(edge) < 3
    middle = _between(*edge) if in_line else _centre(edge)
    gap = median(distance for distance, _ in nearest.values())
    rings = _rings({bolt: math.dist(places[bolt], middle) for bolt in bolts}, gap / 2 + size / STEPS, size / STEPS)
    turned = tuple(tuple(sorted(ring, key=lambda bolt: (_clock(places[bolt], middle), bolt))) for ring in rings)
    return Cover(dict(places), middle, size, gap, turned, in_line)


def outline(points: Sequence[CoverPoint], size: float) -> list[CoverPoint]:
    """Return the corners of the convex hull of ``points`` [one unit], or the two ends where all stand in one line.

    ``size`` [the same unit] is the largest distance between two of them.

    Formula: of the points from left to right and back, those where the way turns to the left.

    Source: Andrew's monotone chain (Andrew, 1979, Information Processing Letters 9, from memory).

    >>> outline([(0, 0), (1, 0), (2, 0), (1, 1)], 2.0)
    [(0, 0), (2, 0), (1, 1)]
    """
    least = _FLAT * size * size
    ordered = sorted(points)
    halves: list[list[CoverPoint]] = []
    for way in (ordered, ordered[::-1]):
        half: list[CoverPoint] = []
        for point in way:
            while len(half) > 1 and _area(half[-2], half[-1], point) <= least:
                half.pop()
            half.append(point)
        halves.append(half[:-1])
    corners = halves[0] + halves[1]
    return corners if len(corners) > 2 else [ordered[0], ordered[-1]]


def _area(first: CoverPoint, second: CoverPoint, third: CoverPoint) -> float:
    """Return twice the area of a triangle, above zero when it turns to the left."""
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])


def _between(one: CoverPoint, other: CoverPoint) -> CoverPoint:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _centre(corners: Sequence[CoverPoint]) -> CoverPoint:
    """Return the centre of area of a polygon, measured from its first corner so that no figure grows large."""
    first = corners[0]
    across = up = whole = 0.0
    for second, third in pairwise(corners[1:]):
        area = _area(first, second, third)
        across += area * (second[0] + third[0] - 2 * first[0])
        up += area * (second[1] + third[1] - 2 * first[1])
        whole += area
    return first[0] + across / (3 * whole), first[1] + up / (3 * whole)


def _rings(away: Mapping[int, float], band: float, step: float) -> list[list[int]]:
    """Return the bolts in rings by how far ``away`` from the middle they are; each is at most ``band`` deep.

    What is deeper is parted where the next bolt is the most farther out; of such places that are equal but for one
    ``step``, the innermost. A limit at a fixed depth would tear bolts apart that are all but as far.
    """
    ordered = sorted(away, key=lambda bolt: (away[bolt], bolt))
    whole, parted = [ordered], list[list[int]]()
    while whole:
        ring = whole.pop()
        if away[ring[-1]] - away[ring[0]] <= band:
            parted.append(ring)
            continue
        jumps = [round((away[far] - away[near]) / step) for near, far in pairwise(ring)]
        at = jumps.index(max(jumps)) + 1
        whole += [ring[at:], ring[:at]]
    return parted


def _clock(place: CoverPoint, middle: CoverPoint) -> float:
    """Return the angle of a place around the middle [rad], clockwise from twelve o'clock."""
    return math.atan2(place[0] - middle[0], place[1] - middle[1]) % math.tau
