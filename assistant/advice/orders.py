"""Orders of one cover side by side: what was drafted, what is published for such a cover, and the plain way around."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.fastening.cover_order import is_even_circle, order_of
from assistant.fastening.cover_places import Cover
from assistant.fastening.order_quality import Quality, quality
from assistant.fastening.orders import Order, cross_pattern, quadrant_pattern, take_order
from assistant.faults import Fault

_TABLE = range(4, 33, 4)
"""Numbers of bolts for which the legacy table prints an order (ASME PCC-1, from memory)."""
_QUADRANT = 16
"""The quadrant pattern begins with this number of bolts (ASME PCC-1, from memory)."""


@dataclass(frozen=True, slots=True)
class NamedOrder:
    """One order, what it is called, and its figures. ``drafted`` tells that it is the one that is proposed."""

    name: str
    bolts: tuple[int, ...]
    figures: Quality
    drafted: bool = False


def orders_of(cover: Cover, given: Sequence[int] = ()) -> tuple[NamedOrder, ...] | Fault:
    """Return the drafted order of ``cover`` first, then the one that the procedure has ``given``, then the others.

    ``given`` [bolt numbers] is empty where there is none. Published patterns stand there only for one even circle.
    """
    drafted = order_of(cover)
    if isinstance(drafted, Fault):
        return drafted
    found = [NamedOrder(drafted.pattern, drafted.bolts, quality(cover, drafted.bolts), drafted=True)]
    if given:
        taken = take_order(sorted(cover.places), given)
        if isinstance(taken, Fault):
            return taken
        found.append(NamedOrder("order of the procedure", taken.bolts, quality(cover, taken.bolts)))
    circle = circle_of(cover)
    others = published(circle) if circle else {}
    outward = tuple(bolt for ring in cover.rings for bolt in ring)
    others["one beside the other"] = Order(outward, True, "")
    return tuple(found) + tuple(NamedOrder(name, one.bolts, quality(cover, one.bolts)) for name, one in others.items())


def circle_of(cover: Cover) -> tuple[int, ...]:
    """Return the bolts clockwise from the lowest number where all stand on one even circle; nothing otherwise."""
    if len(cover.rings) != 1 or not is_even_circle(cover, cover.rings[0]):
        return ()
    ring = cover.rings[0]
    at = ring.index(min(ring))
    return (*ring[at:], *ring[:at])


def published(circle: Sequence[int]) -> dict[str, Order]:
    """Return the patterns that ASME PCC-1 (from memory) has for a circle of bolts, by their names."""
    patterns = {}
    if len(circle) in _TABLE:
        patterns["PCC-1 legacy cross pattern"] = cross_pattern(circle)
    if len(circle) >= _QUADRANT and len(circle) % 4 == 0:
        patterns["PCC-1 quadrant pattern"] = quadrant_pattern(circle)
    return {name: found for name, found in patterns.items() if isinstance(found, Order)}
