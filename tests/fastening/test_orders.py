"""Drafted orders obey their pattern's law; a given order always wins and is checked."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.orders import Order, centre_out, cross_pattern, take_order
from assistant.faults import Fault


@given(st.integers(1, 200))
def test_a_cross_pattern_takes_every_bolt_once_opposite_ones_together_and_never_neighbours(count: int) -> None:
    order = cross_pattern(range(1, count + 1))
    assert isinstance(order, Order)
    assert order.drafted
    assert sorted(order.bolts) == list(range(1, count + 1))
    bolts = order.bolts
    if count % 2 == 0:
        assert all(abs(first - second) == count // 2 for first, second in zip(bolts[::2], bolts[1::2], strict=True))
    if count % 4 == 0:
        steps = [
            [(b - a) % count for a, b in zip(bolts[i : i + 4], bolts[i + 1 : i + 4], strict=False)]
            for i in range(0, count, 4)
        ]
        assert all(step == [count // 2, 3 * count // 4, count // 2] for step in steps)
    if count >= 5:
        # ASME PCC-1 practice, from memory: the next bolt is never the neighbour.
        gaps = [(b - a) % count for a, b in pairwise(bolts)]
        assert not {1, count - 1} & set(gaps)


@given(st.integers(1, 4), st.integers(1, 20))
def test_centre_out_takes_every_bolt_once_and_never_comes_back_to_the_middle(rows: int, columns: int) -> None:
    order = centre_out([range(1 + row * columns, 1 + (row + 1) * columns) for row in range(rows)])
    assert isinstance(order, Order)
    assert sorted(order.bolts) == list(range(1, rows * columns + 1))
    away = [abs((bolt - 1) % columns - (columns - 1) / 2) for bolt in order.bolts]
    assert away == sorted(away)


def test_a_given_order_wins_and_a_drafted_one_says_what_it_is() -> None:
    draft = cross_pattern(range(1, 5))
    assert isinstance(draft, Order)
    given_order = take_order(range(1, 5), (4, 3, 2, 1), draft)
    assert isinstance(given_order, Order)
    assert (given_order.bolts, given_order.drafted) == ((4, 3, 2, 1), False)
    drafted = take_order(range(1, 5), None, draft)
    assert isinstance(drafted, Order)
    assert drafted.drafted


@pytest.mark.parametrize(
    ("order", "words"),
    [
        (take_order((1, 2, 3), (1, 2)), "Bolt 3 is missing"),
        (take_order((1, 2, 3), (1, 2, 2, 3)), "Bolt 2 is listed twice"),
        (take_order((1, 2, 3), (1, 2, 3, 4)), "Bolt 4 is not in this group"),
        (take_order((1, 2, 3), None), "No order is given"),
        (cross_pattern(()), "no bolt"),
        (cross_pattern((0, 1)), "Bolt 0 cannot be"),
        (cross_pattern(range(1, 1000)), "999 bolts"),
        (centre_out([]), "not of one length"),
        (centre_out([(1, 2), (3,)]), "not of one length"),
        (centre_out([(1, 2), (2, 3)]), "Bolt 2 is listed twice"),
    ],
)
def test_a_bad_list_is_refused(order: Order | Fault, words: str) -> None:
    assert isinstance(order, Fault)
    assert words in order.sentence
