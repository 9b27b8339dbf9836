"""An order for any cover, drafted from where its bolts sit: from the middle outward, each bolt far from those before.

A circle gets the cross pattern and one or two even rows get the centre-out order, as if the file had said so. For the
rest, ring follows on ring from the middle outward. In a ring, the next bolt is the one farthest from all that are tight
there; of those that are about as far, the one farthest from the last bolt; of those that are equal, the lowest number.
Two bolts beside each other on a ring of five or more are never taken one after the other.

The maker's order comes first: this one stays marked as drafted. A job that is stored drafts its order again when it is
opened, so what is drafted for a cover must stay as it is; the tests hold some of them.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from assistant.fastening.cover_places import STEPS, Cover, CoverPoint, cover_of, outline
from assistant.fastening.orders import Order, centre_out, cross_pattern
from assistant.faults import Fault

MIDDLE_OUT = "middle-out order"
_LOOSE = 0.1
"""How far a bolt may be off the even circle or row, in gaps: drawings are rounded to whole millimetres."""
_ABOUT = 0.25
"""Within this many gaps, bolts count as about as far."""


def cover_order(places: Mapping[int, CoverPoint]) -> Order | Fault:
    """Draft an order for bolts [numbers] at ``places`` [to the right and upwards, any one unit].

    Formula: rings from the middle outward; in a ring the largest least distance to its bolts that are taken, then the
    largest distance from the last one, then the lowest number. Even circles: cross pattern. One or two even rows:
    centre-out order.

    Source: farthest-point rule (Gonzalez, 1985, Theoretical Computer Science 38, from memory); the rings are ours.

    >>> cover_order({1: (0, 10), 2: (10, 0), 3: (0, -10), 4: (-10, 0), 5: (0, 0)}).bolts
    (5, 1, 3, 2, 4)
    """
    cover = cover_of(places)
    return cover if isinstance(cover, Fault) else order_of(cover)


def order_of(cover: Cover) -> Order | Fault:
    """Draft an order for ``cover`` [one unit of length].

    Formula: see :func:`cover_order`.

    Source: as there.

    >>> order_of(cover_of({1: (0, 0), 2: (3, 0), 3: (6, 0)})).bolts
    (2, 3, 1)
    """
    if len(cover.rings) == 1 and is_even_circle(cover, cover.rings[0]):
        return cross_pattern(_from(cover.rings[0], min(cover.rings[0])))
    rows = even_rows(cover)
    if rows:
        return centre_out(rows)
    beside = cover.next_on_ring()
    bolts: list[int] = []
    for ring in cover.rings:
        first = min(ring) if not bolts else min(ring, key=lambda bolt: (-cover.steps(bolt, bolts[-1]), bolt))
        if is_even_circle(cover, ring):
            crossed = cross_pattern(_from(ring, first))
            if isinstance(crossed, Fault):
                return crossed
            bolts += crossed.bolts
        else:
            bolts += _spread(cover, ring, first, beside)
    checked = cross_pattern(bolts)
    return checked if isinstance(checked, Fault) else Order(tuple(bolts), True, MIDDLE_OUT)


def is_even_circle(cover: Cover, ring: Sequence[int]) -> bool:
    """Return whether the bolts of a ``ring`` [bolt numbers] of ``cover`` [one unit of length] stand on an even circle.

    Formula: radius and gap differ from those of the circle by at most a tenth of its gap, which is rounding of places.

    Source: ours.

    >>> is_even_circle(cover_of({1: (0, 1), 2: (1, 0), 3: (0, -1), 4: (-1, 0)}), (1, 2, 3, 4))
    True
    """
    if len(ring) < 3:
        return False
    away = [math.dist(cover.places[bolt], cover.middle) for bolt in ring]
    radius = sum(away) / len(away)
    side = 2 * radius * math.sin(math.pi / len(ring))
    gaps = [math.dist(cover.places[one], cover.places[other]) for one, other in _round(ring)]
    loose = _LOOSE * side
    return all(abs(one - radius) <= loose for one in away) and all(abs(one - side) <= loose for one in gaps)


def even_rows(cover: Cover) -> list[list[int]]:
    """Return the bolts of ``cover`` [one unit of length] as one row or two of equal length and gap; else nothing.

    Formula: every bolt is within a tenth of a gap of its place in the row. The lowest number at a corner counts as top
    left, so that a mirrored cover has the same rows.

    Source: ours.

    >>> even_rows(cover_of({1: (0, 1), 2: (2, 1), 3: (4, 1), 4: (0, 0), 5: (2, 0), 6: (4, 0)}))
    [[1, 2, 3], [4, 5, 6]]
    """
    if len(cover.places) < 3:
        return []
    corners = [_at(cover, corner) for corner in outline([*cover.places.values()], cover.size)]
    start = min(corners)
    if cover.in_line:
        ends = [start, max(corners)]
        row = _row(cover, ends[0], ends[1], len(cover.places))
        return [row] if row else []
    if len(corners) != 4 or len(cover.places) % 2:
        return []
    place = corners.index(start)
    beside = sorted((corners[place - 1], corners[(place + 1) % 4]), key=lambda bolt: (-cover.steps(start, bolt), bolt))
    across = beside[0]
    top = _row(cover, start, across, len(cover.places) // 2)
    below = _row(cover, beside[1], corners[(place + 2) % 4], len(cover.places) // 2)
    return [top, below] if top and below and not set(top) & set(below) else []


def _row(cover: Cover, first: int, last: int, count: int) -> list[int]:
    """Return ``count`` bolts that stand evenly from one bolt to another; nothing when they do not."""
    (left, low), (right, high) = cover.places[first], cover.places[last]
    found = []
    for at in range(count):
        part = at / (count - 1)
        ideal = (left + (right - left) * part, low + (high - low) * part)
        bolt = min(cover.places, key=lambda one: (math.dist(cover.places[one], ideal), one))
        if math.dist(cover.places[bolt], ideal) > _LOOSE * cover.gap:
            return []
        found.append(bolt)
    return found if len(set(found)) == count else []


def _at(cover: Cover, place: CoverPoint) -> int:
    return min(bolt for bolt, its in cover.places.items() if its == place)


def _round(ring: Sequence[int]) -> list[tuple[int, int]]:
    return [(bolt, ring[(at + 1) % len(ring)]) for at, bolt in enumerate(ring)]


def _from(ring: Sequence[int], first: int) -> list[int]:
    """Return a ring from one bolt on, towards the lower number beside it: a mirrored cover has the same order."""
    at = ring.index(first)
    turned = [*ring[at:], *ring[:at]]
    return turned if len(turned) < 3 or turned[1] < turned[-1] else [turned[0], *turned[:0:-1]]


def _spread(cover: Cover, ring: Collection[int], first: int, beside: Mapping[int, frozenset[int]]) -> list[int]:
    """Return the bolts of a ring, each far from those before it."""
    order = [first]
    nearest = {bolt: cover.steps(bolt, first) for bolt in ring if bolt != first}
    about = _ABOUT * cover.gap / cover.size * STEPS
    while nearest:
        free = [bolt for bolt in nearest if bolt not in beside[order[-1]]]
        if not free:
            return _put_between(order, sorted(nearest), beside)
        most = max(nearest[bolt] for bolt in free)
        far = [bolt for bolt in free if nearest[bolt] >= most - about]
        last = order[-1]
        chosen = min(far, key=lambda bolt: (-cover.steps(bolt, last), bolt))
        order.append(chosen)
        del nearest[chosen]
        nearest = {bolt: min(steps, cover.steps(bolt, chosen)) for bolt, steps in nearest.items()}
    return order


def _put_between(order: list[int], left: Sequence[int], beside: Mapping[int, frozenset[int]]) -> list[int]:
    """Put the bolts that are ``left``, which are all beside the last one, as late as they are beside none."""
    for bolt in left:
        gaps = [
            at
            for at in range(1, len(order) + 1)
            if bolt not in beside[order[at - 1]] and (at == len(order) or bolt not in beside[order[at]])
        ]
        order.insert(gaps[-1] if gaps else len(order), bolt)
    return order
