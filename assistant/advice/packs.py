"""The shims of a pack for end play, backlash or bearing preload: the fewest that bring the play into its band.

A preload is a play below zero. How much the play changes with the pack is never guessed: it is given as a ratio, since
backlash changes with the angle of the teeth, and an end play grows or shrinks with the place of the pack.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from assistant.advice.thickness import GRAINS, THOU, grains_in, length_unit
from assistant.advice.uncertainty import combined
from assistant.fastening.quantities import LengthUnit, TorqueUnit, as_decimal
from assistant.faults import Fault

MOST_IN_PACK = 12
"""Shims that one pack has at most; common practice, no source: a thick pack settles."""
CHANGED = 2
"""Shims of which the uncertainty is kept free at each limit when a pack is chosen: one out, and one in."""
_WORK = 2.0
"""Limit of the solver's work, in its own deterministic unit."""
_THICKEST = 10_000_000
"""No pack is thicker [grains]: 200 mm."""


@dataclass(frozen=True, slots=True)
class Play:
    """A ``measured`` play and its wanted band, and the ``ratio`` in which the play changes with the pack.

    ``measured``, ``low`` and ``high`` are in one unit: grains for a play, below zero for a preload, or what a drag is
    measured in. ``ratio`` is in that unit for each grain that the pack is thicker.
    """

    measured: Fraction
    low: Fraction
    high: Fraction
    ratio: Fraction

    def left(self, change: int) -> Fraction:
        """Return the play that is left when the pack is ``change`` [grains] thicker.

        Formula: play + ratio * (new pack - old pack).

        Source: common practice of service manuals.
        """
        return self.measured + self.ratio * change

    def uncertainty(self, moved: int, gauge: Fraction | int, thickness: Fraction | int) -> Fraction:
        """Return how far the play with another pack may be off [unit of the play].

        ``moved`` shims came out or in, each with an uncertainty of ``thickness`` [grains]; ``gauge`` is that of the
        reading. Shims that stay do not count, since they were there when it was measured.

        Formula: U = sqrt(U(play)**2 + n * (ratio * U(shim))**2).

        Source: JCGM 100:2008 (GUM), 5.1.3 (from memory).
        """
        return combined((gauge, *[self.ratio * thickness] * moved))

    def near_limit(self, left: Fraction, uncertainty: Fraction) -> bool:
        """Return whether the play ``left`` is so near a limit that the gauge cannot tell its side.

        Source: guard band w = U, JCGM 106:2012, 8.3.2 (from memory).
        """
        return min(abs(left - self.low), abs(left - self.high)) < uncertainty


def work_out_play(measured: tuple[Decimal, str], band: tuple[Decimal, Decimal, str], ratio: Fraction) -> Play | Fault:
    """Return the play of a reading and of its wanted band, each with its unit: in grains, or in the unit of the band.

    ``ratio`` is the change of the play for a change of the pack, or of a drag for each millimetre of the pack.
    """
    low, high, unit = band
    found = in_play(*measured, unit)
    if found is None:
        return Fault("What was measured and the band are in different units", "write both in one unit")
    ends = [in_play(end, unit, unit) or Fraction(0) for end in (low, high)]
    return Play(found, ends[0], ends[1], ratio if is_length(unit) else ratio / GRAINS[LengthUnit.MILLIMETRE])


def in_play(value: Decimal, unit: str, of: str) -> Fraction | None:
    """Return a ``value`` [``unit``] as a play whose band is written in the unit ``of``; None where they do not go."""
    if is_length(of) != is_length(unit):
        return None
    length = length_unit(unit)
    if length is not None:
        return Fraction(value) * GRAINS[length] / (1000 if unit == THOU else 1)
    torques = set(TorqueUnit)
    if unit in torques and of in torques:
        return Fraction(value) * TorqueUnit(unit).factor / TorqueUnit(of).factor
    return Fraction(value) if unit == of else None


def out_play(play: Fraction, of: str) -> Decimal:
    """Return a ``play`` in the unit ``of`` in which its band is written, rounded to what can be measured."""
    if is_length(of):
        return grains_in(round(play), of)
    return round(as_decimal(play), 3).normalize() + 0


def out_uncertainty(play: Fraction, of: str) -> Decimal:
    """Return the uncertainty of a play in the unit ``of`` of its band, to two digits, rounded up.

    Source: JCGM 100:2008 (GUM), 7.2.6 (from memory).
    """
    exact = as_decimal(play / (GRAINS[length_unit(of) or LengthUnit.MILLIMETRE] if is_length(of) else 1))
    exact = exact * 1000 if of == THOU else exact
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - 1), ROUND_CEILING).normalize() + 0


def is_length(unit: str) -> bool:
    """Return whether a play in ``unit`` is a length; else it is a drag."""
    return length_unit(unit) is not None


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack of ``shims`` [grains], thickest first, the play that is ``expected``, and whether that is in the band.

    ``out`` are the shims that come out of the present pack, ``new`` those that come to it [grains].
    """

    shims: tuple[int, ...]
    expected: Fraction
    reaches: bool
    out: tuple[int, ...]
    new: tuple[int, ...]

    @property
    def total(self) -> int:
        """Return its thickness [grains]."""
        return sum(self.shims)


def work_out_pack(
    play: Play, present: Sequence[int], stock: Mapping[int, int], guard: Fraction = Fraction(0)
) -> Pack | Fault:
    """Return the pack of the fewest shims that brings ``play`` into its band, then nearest to the middle of it.

    One that leaves the play farther than ``guard`` [unit of the play] from both limits comes before all that do not.
    ``present`` [grains] is the pack that was measured with, and can be used again; ``stock`` [grains] says how many
    there are of each thickness. Where none reaches the band it is the one that comes nearest. A pack within its band
    stays as it is. The same values always give the same answer.
    """
    if play.ratio == 0:
        return Fault("The ratio is zero, so no shim changes the play", "give the change of play for a change of pack")
    if play.low > play.high:
        return Fault("The wanted band has its higher end first", "turn it round")
    if len(present) > MOST_IN_PACK:
        return Fault(f"A pack of {len(present)} shims is too many", f"the most is {MOST_IN_PACK}")
    old = sum(present)
    if play.low <= play.measured <= play.high:
        return Pack(tuple(sorted(present, reverse=True)), play.measured, True, (), ())
    ends = sorted(old + (end - play.measured) / play.ratio for end in (play.low, play.high))
    least, most = math.ceil(ends[0]), math.floor(ends[1])
    if most < 0:
        return Fault(
            "Even without any shim the play stays out of its band",
            "look at the readings, and at the ratio and its sign",
        )
    if least > _THICKEST:
        return Fault("The pack would be thicker than 200 mm", "look at the readings, and at the ratio and its sign")
    hand = Counter(present)
    limits = {size: min(MOST_IN_PACK, stock.get(size, 0) + hand[size]) for size in sorted({*stock, *hand}) if size > 0}
    inner = guard / abs(play.ratio)
    sure = math.ceil(ends[0] + inner), math.floor(ends[1] - inner)
    shims = _solved(limits, hand, (least, most), sure, round(ends[0] + ends[1]))
    expected = play.left(sum(shims) - old)
    came = Counter(shims)
    return Pack(
        shims,
        expected,
        play.low <= expected <= play.high,
        tuple(sorted((hand - came).elements(), reverse=True)),
        tuple(sorted((came - hand).elements(), reverse=True)),
    )


def _solved(
    limits: Mapping[int, int], hand: Mapping[int, int], band: tuple[int, int], sure: tuple[int, int], aim: int
) -> tuple[int, ...]:
    """Return the shims [grains], thickest first.

    In this order it counts: near the ``band``, within the narrower one where it is ``sure``, few, near half of ``aim``,
    few new ones.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - loading it takes a moment, and memory

    model = cp_model.CpModel()
    count = {size: model.new_int_var(0, most_of, f"of {size}") for size, most_of in limits.items()}
    fresh = {size: model.new_int_var(0, most_of, f"new {size}") for size, most_of in limits.items()}
    for size in limits:
        model.add(fresh[size] >= count[size] - hand.get(size, 0))
    total, number = sum(size * one for size, one in count.items()), sum(count.values())
    off = model.new_int_var(0, 100 * _THICKEST, "off the band")
    model.add(off >= total - band[1])
    model.add(off >= band[0] - total)
    unsure = model.new_bool_var("not surely in the band")
    model.add(total >= sure[0]).only_enforce_if(~unsure)
    model.add(total <= sure[1]).only_enforce_if(~unsure)
    away = model.new_int_var(0, 100 * _THICKEST, "off the middle")
    model.add(away >= 2 * total - aim)
    model.add(away >= aim - 2 * total)
    model.add(number <= MOST_IN_PACK)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = _WORK
    found: dict[int, int] = {}
    for goal in (off, unsure, number, away, sum(fresh.values())):
        model.minimize(goal)
        if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            break
        found = {size: solver.value(one) for size, one in count.items()}
        model.add(goal <= round(solver.objective_value))
    return tuple(size for size in sorted(found, reverse=True) for _ in range(found[size]))
