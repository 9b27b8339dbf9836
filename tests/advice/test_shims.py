"""Shims: published worked examples, brute force up to six valves, and another library's assignment."""

import itertools
import statistics
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.shims import Valve, work_out_shims
from assistant.advice.thickness import grains_of, grains_value, parse_thicknesses
from assistant.facts.codes import ShimWay
from assistant.fastening.quantities import LengthUnit
from assistant.faults import Fault
from tests.bench.shims import engine, times_ms

MM, INCH = LengthUnit.MILLIMETRE, LengthUnit.INCH


def mm(text):
    return grains_of(Decimal(text), MM)


def valve(name, clearance, fitted, low, high):
    return Valve(name, *map(mm, (clearance, fitted, low, high)))


@pytest.mark.parametrize(
    ("found", "fitted", "band", "sizes", "new", "left"),
    [
        # Worked examples of service manuals of engines with shims (stored public copies, whose makers are not named
        # here): the formula N = T + (A - V) with its example, a selection chart with its example (the band around the
        # chart's aim is ours), and one whose shims have other steps and whose result is printed as well.
        ("0.45", "2.80", ("0.20", "0.30"), "2.50 to 3.30 by 0.05 mm", "3.00", "0.25"),
        ("0.47", "2.95", ("0.24", "0.30"), "2.50 to 3.50 by 0.05 mm", "3.15", "0.27"),
        ("0.25", "2.425", ("0.12", "0.18"), "2.35 to 2.65 by 0.075 mm", "2.50", "0.175"),
    ],
)
def test_the_shim_is_the_one_that_is_printed(found, fitted, band, sizes, new, left):
    series = parse_thicknesses(sizes).sizes
    plan = work_out_shims([valve("1 intake", found, fitted, *band)], (), series)
    assert grains_value(plan.choices[0].size, MM) == Decimal(new)
    assert grains_value(plan.choices[0].expected, MM) == Decimal(left)


VALVES = st.lists(
    st.builds(
        lambda at, clearance, fitted, low, width: Valve(str(at), clearance, fitted, low, low + width),
        st.integers(),
        st.integers(0, 12),
        st.integers(20, 32),
        st.integers(4, 6),
        st.integers(1, 3),
    ),
    max_size=6,
)
BOX = st.lists(st.integers(18, 36), max_size=3)
SIZES = st.lists(st.integers(20, 34), max_size=4)


def worth(out, taken, hand, sizes):
    """Return how good a way is: each valve takes one of ``hand`` (its number), is bought for, or gets nothing."""
    nothing = buys = box = off = 0
    for one, what in zip(out, taken, strict=True):
        fit = [size for size in ([hand[what]] if isinstance(what, int) else sizes) if one.takes(size)]
        if what == "none" or not fit:
            nothing += 1
            continue
        buys += what == "buy"
        box += isinstance(what, int) and what >= len(out)
        off += min(one.off_middle(size) for size in fit)
    return nothing, buys, box, off


@settings(max_examples=150, deadline=None)
@given(VALVES, BOX, SIZES)
def test_no_way_is_better_by_brute_force(valves, box, sizes):
    plan = work_out_shims(valves, box, sizes)
    out = [one for one in valves if not one.takes(one.fitted)]
    hand = [*(one.fitted for one in out), *box]
    options = [
        [*(n for n in range(len(hand)) if one.takes(hand[n])), *(["buy"] if any(map(one.takes, sizes)) else []), "none"]
        for one in out
    ]
    ways = (
        way
        for way in itertools.product(*options)
        if len({n for n in way if isinstance(n, int)}) == sum(isinstance(n, int) for n in way)
    )
    best = min((worth(out, way, hand, sizes) for way in ways), default=(0, 0, 0, 0))
    chosen = [one for one in plan.choices if one.way is not ShimWay.KEEP]
    ways = [one.way for one in chosen]
    off = sum(one.valve.off_middle(one.size) for one in chosen if one.way is not ShimWay.NONE)
    assert (ways.count(ShimWay.NONE), ways.count(ShimWay.BUY), ways.count(ShimWay.BOX), off) == best


@settings(max_examples=150, deadline=None)
@given(VALVES, BOX, SIZES)
def test_no_shim_is_used_twice_and_none_is_lost(valves, box, sizes):
    plan = work_out_shims(valves, box, sizes)
    assert [one.valve for one in plan.choices] == valves
    sources = [id(one.source) for one in plan.choices if one.way is ShimWay.ENGINE]
    assert len(sources) == len(set(sources))
    for one in plan.choices:
        assert one.way is ShimWay.NONE or one.valve.takes(one.size)
        assert (one.way is ShimWay.KEEP) == one.valve.takes(one.valve.fitted)
        assert one.source is None or one.source.fitted == one.size
    out = [one for one in plan.choices if one.way is not ShimWay.KEEP]
    used = [one.size for one in out if one.way in (ShimWay.ENGINE, ShimWay.BOX)]
    assert sorted([*used, *plan.over]) == sorted([*box, *(one.valve.fitted for one in out)])


@pytest.mark.parametrize("number", [1, 2, 3])
def test_scipy_finds_the_same_least_sum(number):
    """24 valves and a box: the sum that ``scipy.optimize.linear_sum_assignment`` finds, with costs written anew."""
    valves, box, sizes = engine(number)
    plan = work_out_shims(valves, box, sizes)
    out = [one for one in valves if not one.takes(one.fitted)]
    hand = [one.fitted for one in out] + list(box)
    costs = np.full((len(out), len(hand) + 2 * len(out)), 1e15)
    for row, one in enumerate(out):
        for column, size in enumerate(hand):
            if one.takes(size):
                costs[row, column] = one.off_middle(size) + (1e7 if column >= len(out) else 0)
        bought = [one.off_middle(size) for size in sizes if one.takes(size)]
        costs[row, len(hand) + row] = min(bought) + 1e9 if bought else 1e15
        costs[row, len(hand) + len(out) + row] = 1e12
    from scipy.optimize import linear_sum_assignment

    least = costs[linear_sum_assignment(costs)].sum()
    weights = {ShimWay.ENGINE: 0, ShimWay.BOX: 1e7, ShimWay.BUY: 1e9}
    ours = sum(
        1e12 if one.way is ShimWay.NONE else one.valve.off_middle(one.size) + weights[one.way]
        for one in plan.choices
        if one.way is not ShimWay.KEEP
    )
    assert ours == least
    assert work_out_shims(valves, box, sizes) == plan


def test_twenty_four_valves_take_less_than_a_moment():
    assert statistics.median(times_ms()) < 50


def test_shims_change_places_in_the_engine_before_one_is_bought():
    five = valve("5 intake", "0.30", "2.60", "0.18", "0.24")
    two = valve("2 exhaust", "0.31", "2.50", "0.18", "0.24")
    plan = work_out_shims([five, two], (), parse_thicknesses("2.00 to 3.20 by 0.05 mm").sizes)
    assert [(one.way, one.source) for one in plan.choices] == [(ShimWay.BUY, None), (ShimWay.ENGINE, five)]
    assert plan.buy == (mm("2.70"),)
    assert plan.over == (mm("2.50"),)


def test_inches_and_millimetres_are_added_exactly():
    """0.012 in are 0.3048 mm (25.4 mm to the inch, NIST SP 811): with 2.60 mm and 0.008 in wanted, 2.7016 mm."""
    clearance, wanted = grains_of(Decimal("0.012"), INCH), grains_of(Decimal("0.008"), INCH)
    one = Valve("1", clearance, mm("2.60"), wanted, wanted)
    assert grains_value(clearance + one.fitted - wanted, MM) == Decimal("2.7016")
    assert one.takes(mm("2.7016"))


def test_a_clearance_beside_a_limit_is_within_the_doubt_of_the_gauge():
    one = valve("1", "0.235", "2.60", "0.18", "0.24")
    assert one.near_limit(one.fitted, mm("0.01"))
    assert not one.near_limit(one.fitted, mm("0.005"))


def test_the_old_and_the_new_shim_come_to_the_gauge_where_one_is_changed():
    """3, 4 and 12 make 13 (root of the sum of squares, JCGM 100:2008, 5.1.3, from memory); here 7, 4 and 4 make 9."""
    one = valve("1", "0.30", "2.60", "0.18", "0.24")
    assert one.uncertainty(mm("2.70"), 7, 4) == 9
    assert one.uncertainty(one.fitted, 7, 4) == 7


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (valve("1 intake", "-0.01", "2.60", "0.18", "0.24"), "below zero"),
        (valve("1 intake", "2.10", "2.60", "0.18", "0.24"), "ten times"),
        (valve("1 intake", "0.21", "0", "0.18", "0.24"), "no thickness"),
        (valve("1 intake", "0.21", "2.60", "0.24", "0.18"), "higher end first"),
    ],
)
def test_what_cannot_be_is_a_sentence_that_names_the_valve(one, says):
    found = work_out_shims([one], (), ())
    assert isinstance(found, Fault)
    assert says in found.reason
    assert "1 intake" in found.reason


@given(st.integers(1, 60_000), st.integers(1, 400), st.integers(0, 400))
def test_a_series_is_read_as_it_is_written(first, step, more):
    text = f"{Decimal(first) / 1000} to {Decimal(first + step * more) / 1000} by {Decimal(step) / 1000} mm"
    found = parse_thicknesses(text)
    if isinstance(found, Fault):
        assert first + step * more > 50_800  # two inches
    else:
        assert found.sizes == tuple(50 * (first + step * n) for n in range(more + 1))
        assert parse_thicknesses(str(found)) == found
