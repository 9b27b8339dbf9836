"""What strikes in a group of like bolts: one that is far from its neighbours. A doubt at most, and never a pass.

The neighbours are the measure, not a limit: the median of the group and the median of the distances from it (MAD),
which one bad bolt does not move. Pure sums on exact fractions, so the answer is the same in any unit and in any order.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.facts.codes import Side

LEAST_BOLTS = 6
"""From how many bolts on one of them is doubted: with fewer, the MAD is too uncertain (the tests measure it)."""
STRIKING = Fraction("3.5")
"""Modified z-score [1] beyond which a value is an outlier (Iglewicz and Hoaglin, How to Detect and Handle Outliers,
1993, from memory)."""
_TO_SIGMA = Fraction("1.4826")
"""Standard deviation of normal values over their MAD [1], the inverse of 0.6745 in the modified z-score."""
_SMALL = {number: Fraction(f"{thousandths}/1000") for number, thousandths in enumerate(
    (1196, 1495, 1363, 1206, 1200, 1140, 1129, 1107), 2
)}  # fmt: skip
"""What the MAD of so few values is too small by [1] (Croux and Rousseeuw, 1992, from memory; the tests measure it)."""


@dataclass(frozen=True, slots=True)
class Strike:
    """A bolt that strikes: its ``value``, on which ``side`` of its neighbours, and its modified z-``score`` [1]."""

    bolt: int
    value: Fraction
    side: Side
    score: Fraction


@dataclass(frozen=True, slots=True)
class Scatter:
    """How ``number`` values scatter, all in the unit that they were given in.

    ``sigma`` is the robust standard deviation. ``tool`` is what the class of the tool alone allows to each side [%],
    ``percent`` how far the value that is farthest from the median lies from it [%].
    """

    number: int
    median: Fraction
    mad: Fraction
    sigma: Fraction
    least: Fraction
    most: Fraction
    tool: Fraction
    strikes: tuple[Strike, ...]

    @property
    def enough(self) -> bool:
        """Return whether there are enough bolts to doubt one of them."""
        return self.number >= LEAST_BOLTS

    @property
    def percent(self) -> Fraction:
        """Return the greatest distance from the median [%]; zero where the median is."""
        far = max(self.most - self.median, self.median - self.least)
        return 100 * far / self.median if self.median else Fraction(0)

    @property
    def wide(self) -> bool:
        """Return whether the group scatters more than the class of the tool explains."""
        return self.percent > self.tool


def median(values: Collection[Fraction]) -> Fraction:
    """Return the middle of ``values`` [any unit], or the mean of the two in the middle.

    Formula: the value of rank (n + 1) / 2.

    Source: arithmetic; the standard library's is compared in the tests.

    >>> median([Fraction(3), Fraction(1), Fraction(2), Fraction(10)])
    Fraction(5, 2)
    """
    order, half = sorted(values), len(values) // 2
    return order[half] if len(order) % 2 else (order[half - 1] + order[half]) / 2


def scatter_of(values: Mapping[int, Fraction], resolution: Fraction, allowed: Fraction, tool: Fraction) -> Scatter:
    """Return how ``values`` [any one unit], by the number of the bolt, scatter, and which of them strike.

    ``resolution`` [the same unit] is one step of what was read: where most are equal, the MAD is zero and this stands
    for the scatter. ``allowed`` [%] of the median is what no bolt is doubted for, ``tool`` [%] what its class allows.

    Formula: z = 0.6745 (x - median) / (c MAD), striking beyond 3.5; c is 1 for many values, more for few.

    Source: Iglewicz and Hoaglin, 1993; c: Croux and Rousseeuw, 1992 (both from memory); ``allowed`` is ours.

    >>> read = dict(enumerate(map(Fraction, (81, 80, 79, 82, 80, 81, 48)), 1))
    >>> found = scatter_of(read, Fraction(1), Fraction(10), Fraction(4))
    >>> [(one.bolt, one.side.value) for one in found.strikes], found.median, found.mad
    ([(7, 'below')], Fraction(80, 1), Fraction(1, 1))
    """
    number, middle = len(values), median(values.values())
    mad = median([abs(value - middle) for value in values.values()])
    sigma = max(_TO_SIGMA * _small(number) * mad, resolution)
    strikes = tuple(
        Strike(bolt, value, Side.BELOW if value < middle else Side.ABOVE, (value - middle) / sigma)
        for bolt, value in sorted(values.items())
        if number >= LEAST_BOLTS
        and abs(value - middle) > STRIKING * sigma
        and abs(value - middle) * 100 > allowed * abs(middle)
    )
    return Scatter(number, middle, mad, sigma, min(values.values()), max(values.values()), tool, strikes)


def _small(number: int) -> Fraction:
    if number < 2:
        return Fraction(1)
    return _SMALL.get(number, Fraction(10 * number, 10 * number - 8))


def moved_late(first: Mapping[int, Fraction], again: Mapping[int, Fraction], least: Fraction) -> tuple[int, ...]:
    """Return the bolts, in rising order, that moved on below a part of what they were tightened to.

    ``first`` [torque] is what they got, ``again`` [the same unit] what moved them on in the tightening direction, and
    ``least`` [%] the procedure's own limit for it.

    Formula: 100 again / first < least.

    Source: first-movement method of a check, VDI/VDE 2645-3 (from memory); the limit is the procedure's.

    >>> moved_late({1: Fraction(80), 2: Fraction(80)}, {1: Fraction(76), 2: Fraction(60)}, Fraction(85))
    (2,)
    """
    return tuple(sorted(bolt for bolt in first.keys() & again.keys() if 100 * again[bolt] < least * first[bolt]))
