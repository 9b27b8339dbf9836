"""How good an order of bolts is, in figures that do not depend on who drafted it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from assistant.fastening.cover_places import Cover


@dataclass(frozen=True, slots=True)
class Quality:
    """Figures of one order on one cover.

    ``least`` and ``mean`` are the distance from a bolt to the next one [usual gaps between neighbours]; ``least_turn``
    the smallest angle [degrees] around the middle from a bolt to the next one of its ring, None where there is none.
    ``beside`` counts how often two bolts that are beside each other on a ring of five or more follow on each other.
    ``one_sided`` is the farthest that the centre of the bolts tight so far was from the middle, from the second bolt
    on, as a part [1] of the way to the farthest bolt: 0 is even all the time, 1 is all on one side. ``inward`` counts
    the steps that go back from a ring to one nearer to the middle.
    """

    least: float
    mean: float
    least_turn: float | None
    beside: int
    one_sided: float
    inward: int


def quality(cover: Cover, order: Sequence[int]) -> Quality:
    """Return how good ``order`` [bolt numbers, each of the cover once] is on ``cover``.

    ``cover`` [one unit of length].

    Formula: see :class:`Quality`.

    Source: ours; what PCC-1 asks of a pattern is that the load stays even around the joint (from memory).

    >>> from assistant.fastening.cover_places import cover_of
    >>> square = cover_of({1: (0, 1), 2: (1, 0), 3: (0, -1), 4: (-1, 0)})
    >>> found = quality(square, (1, 3, 2, 4))
    >>> round(found.least, 3), found.least_turn, round(found.one_sided, 3)
    (1.0, 90.0, 0.333)
    """
    ring_of = {bolt: number for number, ring in enumerate(cover.rings) for bolt in ring}
    beside = cover.next_on_ring()
    steps = [math.dist(cover.places[one], cover.places[other]) / cover.gap for one, other in pairwise(order)]
    turns = [_turn(cover, one, other) for one, other in pairwise(order) if ring_of[one] == ring_of[other]]
    reach = max(math.dist(place, cover.middle) for place in cover.places.values()) or 1.0
    off = []
    across = up = 0.0
    for count, bolt in enumerate(order, start=1):
        across += cover.places[bolt][0] - cover.middle[0]
        up += cover.places[bolt][1] - cover.middle[1]
        if count > 1:
            off.append(math.hypot(across, up) / count / reach)
    return Quality(
        min(steps, default=0.0),
        sum(steps) / len(steps) if steps else 0.0,
        min(turns, default=None),
        sum(other in beside[one] for one, other in pairwise(order)),
        max(off, default=0.0),
        sum(ring_of[other] < ring_of[one] for one, other in pairwise(order)),
    )


def _turn(cover: Cover, one: int, other: int) -> float:
    """Return the angle [degrees] between two bolts, seen from the middle."""
    angles = [
        math.atan2(cover.places[bolt][0] - cover.middle[0], cover.places[bolt][1] - cover.middle[1])
        for bolt in (one, other)
    ]
    apart = abs(math.degrees(angles[0] - angles[1])) % 360
    return min(apart, 360 - apart)
