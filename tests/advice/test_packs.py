"""Packs of shims: published rules of service manuals, and brute force over all small packs."""

import itertools
import math
from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.packs import Play, work_out_pack, work_out_play
from assistant.advice.thickness import GRAINS, grains_of
from assistant.fastening.quantities import LengthUnit
from assistant.faults import Fault

MM = LengthUnit.MILLIMETRE


def mm(text):
    return grains_of(Decimal(text), MM)


def play(measured, low, high, ratio):
    return Play(*(Fraction(text) * GRAINS[MM] for text in (measured, low, high)), Fraction(ratio))


@pytest.mark.parametrize(
    ("it", "present", "stock", "pack", "left"),
    [
        # Thrust clearance: 1.93 mm measured without a shim, 0.11 to 0.17 mm wanted: "the 1.80 mm shim is best".
        (play("1.93", "0.11", "0.17", -1), (), ("1.70", "1.75", "1.80", "1.85"), "1.80", "0.13"),
        # "Moving 0.05 mm of shim thickness changes the backlash by 0.03 mm": 0.13 to 0.20 mm wanted from 0.07 mm.
        (play("0.07", "0.13", "0.20", Fraction(3, 5)), ("0.50",), ("0.05", "0.10", "0.15"), "0.65", "0.16"),
        # Common practice, no source: an end play of 0.10 mm is made a preload of 0.03 to 0.05 mm by 0.14 mm less pack.
        (play("0.10", "-0.05", "-0.03", 1), ("0.24", "0.26"), ("0.10",), "0.36", "-0.04"),
    ],
)
def test_the_pack_is_the_one_that_is_printed(it, present, stock, pack, left):
    """The first two are of service manuals (stored public copies, whose makers are not named here)."""
    found = work_out_pack(it, tuple(map(mm, present)), Counter(map(mm, stock)))
    assert found.total == mm(pack)
    assert found.expected == Fraction(left) * GRAINS[MM]
    assert found.reaches


@settings(max_examples=60, deadline=None)
@given(
    st.integers(-6, 30),
    st.integers(-4, 6),
    st.integers(0, 3),
    st.sampled_from([Fraction(1), Fraction(-1), Fraction(3, 5), Fraction(-1, 2)]),
    st.lists(st.integers(2, 9), max_size=2),
    st.lists(st.integers(2, 9), max_size=4),
    st.sampled_from([Fraction(0), Fraction(1, 2), Fraction(1)]),
)
def test_no_pack_is_better_by_brute_force(measured, low, width, ratio, present, stock, guard):
    it = Play(Fraction(measured), Fraction(low), Fraction(low + width), ratio)
    found = work_out_pack(it, present, Counter(stock), guard)
    hand, old = [*present, *stock], sum(present)
    if low <= measured <= low + width:
        assert sorted(found.shims) == sorted(present)
        return
    packs = [pack for count in range(len(hand) + 1) for pack in itertools.combinations(hand, count)]
    left = {pack: it.left(sum(pack) - old) for pack in packs}
    within = [pack for pack in packs if it.low <= left[pack] <= it.high]
    if isinstance(found, Fault):
        assert not within
        return
    assert found.reaches == bool(within)
    if within:
        sure = [pack for pack in within if it.low + guard <= left[pack] <= it.high - guard]
        assert not sure or it.low + guard <= found.expected <= it.high - guard
        within = sure or within
        fewest = min(map(len, within))
        middle = (it.low + it.high) / 2
        nearest = min(abs(left[pack] - middle) for pack in within if len(pack) == fewest)
        assert len(found.shims) == fewest
        # the middle is rounded to half a grain, and so is how near a pack comes to it
        assert abs(abs(found.expected - middle) - nearest) <= abs(ratio)
    assert not Counter(found.shims) - Counter(hand)
    assert Counter(present) - Counter(found.out) + Counter(found.new) == Counter(found.shims)


def test_a_pack_that_is_right_stays_and_one_that_cannot_be_says_so():
    right = work_out_pack(play("0.07", "0.05", "0.10", -1), (mm("0.25"),), {})
    assert (right.shims, right.out, right.new) == ((mm("0.25"),), (), ())
    far = work_out_pack(play("0.95", "0.05", "0.10", -1), (), Counter([mm("0.25"), mm("0.50")]))
    assert not far.reaches
    assert far.expected == Fraction("0.20") * GRAINS[MM]


@pytest.mark.parametrize(
    ("it", "says"),
    [
        (play("0.35", "0.05", "0.10", 0), "ratio is zero"),
        (play("0.35", "0.10", "0.05", 1), "higher end first"),
        (play("0.35", "0.05", "0.10", 1), "without any shim"),
        (play("900", "0.05", "0.10", -1), "thicker than 200 mm"),
    ],
)
def test_what_cannot_be_is_one_sentence(it, says):
    found = work_out_pack(it, (), Counter([mm("0.25")]))
    assert isinstance(found, Fault)
    assert says in found.reason


def test_a_pack_that_is_surely_in_the_band_comes_before_one_with_fewer_shims_at_its_edge():
    """0.20 mm measured, 0.05 to 0.10 mm wanted: one shim of 0.10 mm leaves the limit itself, two leave 0.08 mm."""
    it, stock = play("0.20", "0.05", "0.10", -1), Counter(map(mm, ("0.10", "0.07", "0.05")))
    assert work_out_pack(it, (), stock).shims == (mm("0.10"),)
    assert work_out_pack(it, (), stock, Fraction(mm("0.01"))).shims == (mm("0.07"), mm("0.05"))


def test_the_uncertainty_of_each_shim_that_is_moved_comes_to_that_of_the_gauge():
    """Root of the sum of squares, JCGM 100:2008 (GUM), 5.1.3 (from memory); 0.6 * 5 and 4 are 3 and 4, so 5."""
    assert play("0", "0", "0", Fraction(3, 5)).uncertainty(1, 4, 5) == 5
    assert play("0", "0", "0", -1).uncertainty(4, 0, 5) == 10
    assert play("0", "0", "0", -1).uncertainty(0, 7, 5) == 7
    drag = work_out_play((Decimal("0.5"), "N·m"), (Decimal(1), Decimal("1.6"), "N·m"), Fraction(-20))
    expected = math.sqrt(0.1**2 + 2 * (20 * 0.002) ** 2)  # two shims of 0.002 mm, 20 N·m for each millimetre
    assert float(drag.uncertainty(2, Fraction(1, 10), mm("0.002"))) == pytest.approx(expected, abs=1e-6)


def test_a_play_is_taken_from_any_unit_of_its_kind_and_from_no_other():
    """25.4 mm to the inch (NIST SP 811, appendix B); 1 lbf·in is 0.112984829 N·m (the same, rounded)."""
    inch = work_out_play((Decimal(4), "thou"), (Decimal("0.10"), Decimal("0.20"), "mm"), Fraction(-1))
    assert inch.measured == mm("0.1016")
    drag = work_out_play((Decimal(10), "lbf·in"), (Decimal(1), Decimal(2), "N·m"), Fraction(-1))
    assert float(drag.measured) == pytest.approx(1.12984829, abs=1e-8)
    assert isinstance(work_out_play((Decimal(1), "N·m"), (Decimal(1), Decimal(2), "mm"), Fraction(-1)), Fault)
    assert isinstance(work_out_play((Decimal(1), "N"), (Decimal(1), Decimal(2), "N·m"), Fraction(-1)), Fault)
