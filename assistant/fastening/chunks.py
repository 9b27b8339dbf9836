"""Bolts in the portions in which they are told and confirmed: at most four things to hold in mind, a run is one."""

from __future__ import annotations

from collections.abc import Sequence

MOST_THINGS = 4
"""Things to hold in mind at once: about four chunks (Cowan, 2001, Behavioral and Brain Sciences 24, from memory)."""


def runs(bolts: Sequence[int]) -> list[tuple[int, ...]]:
    """Split ``bolts`` [numbers] into things: rising or falling runs of three or more by one, and single bolts.

    Source: ours; how people of the trade say it.

    >>> runs((4, 5, 6, 1, 9))
    [(4, 5, 6), (1,), (9,)]
    """
    things: list[tuple[int, ...]] = []
    start = 0
    while start < len(bolts):
        best = start + 1
        for step in (1, -1):
            end = start + 1
            while end < len(bolts) and bolts[end] - bolts[end - 1] == step:
                end += 1
            best = max(best, end)
        if best - start < 3:
            best = start + 1
        things.append(tuple(bolts[start:best]))
        start = best
    return things


def chunk_bolts(bolts: Sequence[int], most: int = MOST_THINGS) -> tuple[tuple[int, ...], ...]:
    """Split ``bolts`` [numbers], order kept, into chunks of at most ``most`` [count] things; a run is one thing.

    Source: about four things at once (Cowan, 2001, from memory).

    >>> chunk_bolts((1, 9, 5, 13, 3, 11, 7, 15))
    ((1, 9, 5, 13), (3, 11, 7, 15))
    >>> chunk_bolts((4, 5, 6, 7, 8))
    ((4, 5, 6, 7, 8),)
    """
    if most < 1:
        raise ValueError(f"A chunk holds at least one thing, not {most}.")
    things = runs(bolts)
    groups = [things[first : first + most] for first in range(0, len(things), most)]
    return tuple(tuple(bolt for thing in group for bolt in thing) for group in groups)
