"""Which shim goes under which valve, so that every clearance is within its band and the fewest shims are bought.

A valve within its band keeps its shim. The others are an assignment problem: each takes one shim that brings it into
its band, from those that come out of the engine, from the box, or bought. In this order it counts: as many valves as
can be are brought in, few shims are bought, few are taken from the box, and each is near the middle of its band. The
first three never stand against each other: whatever set of shims (and of valves) can be matched at all can be part of
a largest matching (Mendelsohn and Dulmage, 1958, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.advice.uncertainty import combined
from assistant.facts.codes import ShimWay
from assistant.faults import Fault

MOST_VALVES = 99
_FAR = 10
"""A clearance farther from its band than so many times the width of the band cannot be: a slip of the decimal point."""


@dataclass(frozen=True, slots=True)
class Valve:
    """A valve by ``name``: its ``clearance`` as found, its ``fitted`` shim, and the wanted band [all in grains]."""

    name: str
    clearance: int
    fitted: int
    low: int
    high: int

    def left(self, shim: int) -> int:
        """Return the clearance [grains] that ``shim`` [grains] leaves.

        Formula: V = A + T - N: measured A, old shim T, new shim N; what is thicker takes as much of the clearance.

        Source: N = T + (A - V), as service manuals of engines with shims under a cam print it.
        """
        return self.clearance + self.fitted - shim

    def takes(self, shim: int) -> bool:
        """Return whether ``shim`` [grains] brings it into its band; both ends are within."""
        return self.low <= self.left(shim) <= self.high

    def off_middle(self, shim: int) -> int:
        """Return twice the distance [grains] from the middle of the band that ``shim`` leaves."""
        return abs(2 * self.left(shim) - self.low - self.high)

    def off_band(self, shim: int) -> int:
        """Return how far [grains] outside of the band ``shim`` leaves it: below zero when too tight, 0 within."""
        left = self.left(shim)
        return min(0, left - self.low) + max(0, left - self.high)

    def near_limit(self, shim: int, uncertainty: Fraction | int) -> bool:
        """Return whether the clearance with ``shim`` is so near a limit that the gauge cannot tell its side.

        Formula: |V - limit| < U.

        Source: guard band w = U, JCGM 106:2012, 8.3.2 (from memory).
        """
        left = self.left(shim)
        return min(abs(left - self.low), abs(left - self.high)) < uncertainty

    def uncertainty(self, shim: int, gauge: int, thickness: int) -> Fraction | int:
        """Return how far the clearance with ``shim`` [grains] may be off, by that of the gauge and of each thickness.

        Where the shim stays, its thickness does not count: the clearance is as it was measured. Else those of the old
        and of the new one come to it: both stand in V = A + T - N, each with a sensitivity of one.

        Source: JCGM 100:2008 (GUM), 5.1.3 (from memory).
        """
        return gauge if shim == self.fitted else combined((gauge, thickness, thickness))


@dataclass(frozen=True, slots=True)
class ShimChoice:
    """What ``valve`` gets: a shim of ``size`` [grains] in a ``way``; out of the engine, it is that of ``source``.

    Without a shim that reaches the band ``way`` is NONE, and ``size`` the one that comes nearest.
    """

    valve: Valve
    way: ShimWay
    size: int
    source: Valve | None = None

    @property
    def expected(self) -> int:
        """Return the clearance [grains] that is left."""
        return self.valve.left(self.size)


@dataclass(frozen=True, slots=True)
class ShimPlan:
    """What every valve gets, in the order of the valves, and which shims [grains] stay over."""

    choices: tuple[ShimChoice, ...]
    over: tuple[int, ...]

    @property
    def buy(self) -> tuple[int, ...]:
        """Return the sizes [grains] to buy, in rising order."""
        return tuple(sorted(one.size for one in self.choices if one.way is ShimWay.BUY))


def impossible(valve: Valve) -> Fault | None:
    """Return why the values of a valve cannot be; None when they can."""
    if valve.low > valve.high:
        return Fault(f"The band of {valve.name} has its higher end first", "turn it round")
    if valve.fitted <= 0:
        return Fault(f"The shim of {valve.name} has no thickness", "measure it again")
    if valve.clearance < 0:
        return Fault(f"The clearance of {valve.name} is below zero", "measure it again")
    if max(valve.low - valve.clearance, valve.clearance - valve.high) > _FAR * max(valve.high - valve.low, 1):
        what = f"The clearance of {valve.name} is more than ten times the width of its band away from it"
        return Fault(what, "look at the decimal point and the unit, and measure it again")
    return None


def work_out_shims(valves: Sequence[Valve], box: Sequence[int], sizes: Sequence[int]) -> ShimPlan | Fault:
    """Return which shim each valve gets.

    ``box`` [grains] are the shims in hand, each as often as it is there; ``sizes`` [grains] can be bought, as many as
    are needed. The same values always give the same answer.
    """
    if len(valves) > MOST_VALVES:
        return Fault(f"{len(valves)} valves are too many", f"the most is {MOST_VALVES}")
    for valve in valves:
        if (wrong := impossible(valve)) is not None:
            return wrong
    out = [valve for valve in valves if not valve.takes(valve.fitted)]
    found = _assigned(out, tuple(box), tuple(sorted(set(sizes)))) if out else {}
    choices = tuple(found.get(id(valve)) or ShimChoice(valve, ShimWay.KEEP, valve.fitted) for valve in valves)
    used = [one.size for one in choices if one.way in (ShimWay.ENGINE, ShimWay.BOX)]
    over = [*box, *(valve.fitted for valve in out)]
    for size in used:
        over.remove(size)
    return ShimPlan(choices, tuple(sorted(over)))


def _assigned(out: Sequence[Valve], box: Sequence[int], sizes: Sequence[int]) -> dict[int, ShimChoice]:
    """Return the choice of each valve of ``out`` by its identity: one row for each, one column for each shim.

    Behind the shims in hand each valve has a column of its own for what is bought, and one for nothing.
    """
    hand = [*(valve.fitted for valve in out), *box]
    count, bought = len(out), [_nearest(valve, [size for size in sizes if valve.takes(size)]) for valve in out]
    middle = 1 + sum(valve.high - valve.low for valve in out)
    taken, buys = middle, middle * (count + 1)
    nothing = buys * (count + 1)
    arcs: list[tuple[int, int, int]] = []
    for row, valve in enumerate(out):
        for column, size in enumerate(hand):
            if valve.takes(size):
                arcs.append((row, column, valve.off_middle(size) + (taken if column >= count else 0)))
        size_to_buy = bought[row]
        if size_to_buy is not None:
            arcs.append((row, len(hand) + row, valve.off_middle(size_to_buy) + buys))
        arcs.append((row, len(hand) + count + row, nothing))
    columns = _solved(arcs, count, len(hand) + 2 * count)
    return {id(valve): _choice(out, row, columns[row], hand, bought, sizes) for row, valve in enumerate(out)}


def _choice(
    out: Sequence[Valve], row: int, column: int, hand: Sequence[int], bought: Sequence[int | None], sizes: Sequence[int]
) -> ShimChoice:
    valve, to_buy = out[row], bought[row]
    if column < len(out):
        return ShimChoice(valve, ShimWay.ENGINE, hand[column], out[column])
    if column < len(hand):
        return ShimChoice(valve, ShimWay.BOX, hand[column])
    if column < len(hand) + len(out) and to_buy is not None:
        return ShimChoice(valve, ShimWay.BUY, to_buy)
    nearest = _nearest(valve, [*sizes, *hand])
    return ShimChoice(valve, ShimWay.NONE, valve.fitted if nearest is None else nearest)


def _nearest(valve: Valve, sizes: Sequence[int]) -> int | None:
    """Return the size nearest to the middle of the band, the thinner of two; None without any."""
    return min(sizes, key=lambda size: (valve.off_middle(size), size), default=None)


def _solved(arcs: Sequence[tuple[int, int, int]], rows: int, columns: int) -> list[int]:
    """Return the column of each row, so that the sum of the costs is least.

    The solver wants as many rows as columns, so rows that take what stays over are added; they cost nothing.
    """
    from ortools.graph.python.linear_sum_assignment import (  # noqa: PLC0415 - loading it takes a moment, and memory
        SimpleLinearSumAssignment,
    )

    solver = SimpleLinearSumAssignment()
    for row, column, cost in arcs:
        solver.add_arc_with_cost(row, column, cost)
    for row in range(rows, columns):
        for column in range(columns):
            solver.add_arc_with_cost(row, column, 0)
    if solver.solve() != solver.OPTIMAL:  # nothing is always allowed, so there is an answer
        raise RuntimeError("The assignment of shims has no answer.")
    return [solver.right_mate(row) for row in range(rows)]
