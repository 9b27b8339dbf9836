"""The order of bolts: given by the procedure, or drafted by a general pattern and marked as drafted.

A drafted order never stands in for a given one in silence: :func:`take_order` takes the given one when there is one.
A job that is stored drafts its order again when it is opened, so a pattern must stay as it is for each number of bolts.
The patterns follow the legacy cross pattern of ASME PCC-1 (from memory) and the centre-out habit of engine rebuilding
(common practice, no source). The maker's order comes first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.faults import Fault

MOST_IN_LIST = 500


@dataclass(frozen=True, slots=True)
class Order:
    """Bolts one after another. ``drafted`` tells that no procedure gave it; ``pattern`` is how it was made."""

    bolts: tuple[int, ...]
    drafted: bool
    pattern: str


_SEVEN = (0, 3, 5, 1, 4, 6, 2)
"""How the legacy table goes through the seven bolts of a quarter, where it has 28."""


def _every_other(count: int) -> Sequence[int]:
    if count <= 3:
        return range(count)
    return [*range(0, count, 2), *range(1, count, 2)]


def _spread(count: int) -> Sequence[int]:
    """Return 0 .. count - 1 so that neighbours in the list lie far apart, the first one first."""
    if count == len(_SEVEN):
        return _SEVEN
    if count % 2 or count <= 3:
        return _every_other(count)
    half = count // 2
    return [place for first in _spread(half) for place in (first, first + half)]


def cross_pattern(bolts: Sequence[int]) -> Order | Fault:
    """Draft a cross pattern for ``bolts`` [numbers] that stand on a circle, named clockwise.

    Formula: opposite bolts in pairs; where the number divides by four, pairs at right angles to each other.

    Source: ASME PCC-1, legacy cross-pattern table (from memory); odd numbers skip half the circle (workshop practice).

    >>> cross_pattern(range(1, 9)).bolts
    (1, 5, 3, 7, 2, 6, 4, 8)
    """
    fault = _bad_bolts(bolts)
    if fault is not None:
        return fault
    count = len(bolts)
    if count % 4 == 0:
        quarter = count // 4
        places = [base + step * quarter for base in _spread(quarter) for step in (0, 2, 1, 3)]
    elif count % 2 == 0:
        half = count // 2
        places = [base + step * half for base in _every_other(half) for step in (0, 1)]
    else:
        places = [step * ((count - 1) // 2) % count for step in range(count)] if count > 1 else [0]
    return Order(tuple(bolts[place] for place in places), True, "cross pattern")


def centre_out(rows: Sequence[Sequence[int]]) -> Order | Fault:
    """Draft an order from the middle outward for ``rows`` [bolt numbers], each named from one end to the other.

    Formula: by distance from the middle column; equal distances alternate the ends, in two rows crosswise.

    Source: common practice in engine rebuilding, no source.

    >>> centre_out([range(1, 6), range(6, 11)]).bolts
    (3, 8, 4, 9, 2, 7, 5, 10, 1, 6)
    """
    if not rows or len({len(row) for row in rows}) != 1:
        return Fault(
            "The rows are not of one length", "give every row the same number of bolts, or give the order itself"
        )
    fault = _bad_bolts([bolt for row in rows for bolt in row])
    if fault is not None:
        return fault
    columns = [[row[place] for row in rows] for place in range(len(rows[0]))]
    count = len(columns)
    bolts: list[int] = []
    if count % 2:
        bolts += columns[count // 2]
    for away in range((count + 1) // 2, count):
        right, left = columns[away], columns[count - 1 - away]
        if count % 2:
            bolts += [*right, *left]
        elif len(rows) == 2:
            bolts += [left[0], right[1], left[1], right[0]]
        else:
            bolts += [*left, *right]
    return Order(tuple(bolts), True, "centre-out order")


def quadrant_pattern(bolts: Sequence[int]) -> Order | Fault:
    """Draft the quadrant pattern for ``bolts`` [numbers] on a circle, named clockwise; four quarters of equal number.

    Formula: the first bolt of each quarter, opposite quarters in pairs, then the second of each, and so on around.

    Source: ASME PCC-1, quadrant pattern for sixteen bolts and more (from memory).

    >>> quadrant_pattern(range(1, 9)).bolts
    (1, 5, 3, 7, 2, 6, 4, 8)
    """
    fault = _bad_bolts(bolts)
    if fault is not None:
        return fault
    if len(bolts) % 4:
        return Fault(f"{len(bolts)} bolts make no four equal quarters", "the quadrant pattern needs a multiple of four")
    quarter = len(bolts) // 4
    places = [base + step * quarter for base in range(quarter) for step in (0, 2, 1, 3)]
    return Order(tuple(bolts[place] for place in places), True, "quadrant pattern")


def _bad_bolts(bolts: Sequence[int]) -> Fault | None:
    """Say what is wrong with a list of bolts, if anything is."""
    if not bolts:
        return Fault("There is no bolt in the list", "give at least one bolt number")
    if len(bolts) > MOST_IN_LIST:
        return Fault(f"There are {len(bolts)} bolts in the list", f"the most in one group is {MOST_IN_LIST}")
    twice = sorted(bolt for bolt, times in Counter(bolts).items() if times > 1)
    if twice:
        return Fault(f"Bolt {twice[0]} is listed twice", "list every bolt once")
    below = [bolt for bolt in bolts if bolt < 1]
    return Fault(f"Bolt {below[0]} cannot be", "number bolts from 1 on") if below else None


def take_order(bolts: Sequence[int], given: Sequence[int] | None, draft: Order | None = None) -> Order | Fault:
    """Return the order for ``bolts`` [numbers]: the one ``given`` [numbers], else a ``draft`` [order], else a fault.

    Formula: given, else drafted, else a fault.

    Source: none; a given order always wins.

    >>> take_order([1, 2, 3], [2, 1, 3]).bolts
    (2, 1, 3)
    >>> take_order([1, 2, 3], [2, 1]).sentence
    'Bolt 3 is missing from the order: list every bolt of the group once'
    """
    chosen = tuple(given) if given is not None else draft.bolts if draft is not None else None
    if chosen is None:
        return Fault("No order is given", "write the order of the procedure, or ask for a drafted one")
    fault = _bad_bolts(bolts) or _bad_bolts(chosen)
    if fault is not None:
        return fault
    missing, strange = sorted(set(bolts) - set(chosen)), sorted(set(chosen) - set(bolts))
    if missing:
        return Fault(f"Bolt {missing[0]} is missing from the order", "list every bolt of the group once")
    if strange:
        return Fault(f"Bolt {strange[0]} is not in this group", f"the group has {len(bolts)} bolts")
    if given is None and draft is not None:
        return Order(chosen, True, draft.pattern)
    return Order(chosen, False, "order of the procedure")
