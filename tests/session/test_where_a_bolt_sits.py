"""Where a bolt sits, as somebody says it who stands in front of the map."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.language.en import ENGLISH
from assistant.procedure.model import Group, Layout, LayoutKind, Spot
from assistant.session.telling import spots
from tests.session.examples import degrees


def where(group: Group, bolt: int) -> str:
    return spots.where_it_sits(ENGLISH.bolts, group, bolt)


def group(layout: Layout | None, bolts: int = 12) -> Group:
    return Group("g", "bolts", "", tuple(range(1, bolts + 1)), layout=layout)


def test_a_circle_of_twelve_is_a_clock() -> None:
    clock = group(Layout(LayoutKind.CIRCLE, circle=(12, *range(1, 12))))
    names = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    assert [where(clock, hour) for hour in range(1, 13)] == [f"At {name} o'clock." for name in names]


def test_a_circle_may_start_elsewhere() -> None:
    turned = group(Layout(LayoutKind.CIRCLE, circle=(1, 2, 3, 4), start=degrees(90)), 4)
    assert [where(turned, bolt) for bolt in (1, 2, 3, 4)] == [
        f"At {hour} o'clock." for hour in ("three", "six", "nine", "twelve")
    ]


def test_rows_go_from_the_left_and_the_top_one_is_first() -> None:
    rows = group(Layout(LayoutKind.ROWS, rows=((1, 2, 3), (4, 5, 6), (7, 8, 9))), 9)
    assert [where(rows, bolt) for bolt in range(1, 10)] == [
        "Top left.", "Top middle.", "Top right.",
        "Middle left.", "In the middle.", "Middle right.",
        "Bottom left.", "Bottom middle.", "Bottom right.",
    ]  # fmt: skip
    assert [where(group(Layout(LayoutKind.ROWS, rows=((1, 2),)), 2), bolt) for bolt in (1, 2)] == ["Left.", "Right."]


def test_free_spots_are_parted_into_thirds_upwards_and_to_the_right() -> None:
    spots = tuple(
        Spot(bolt, Decimal(x), Decimal(y)) for bolt, x, y in ((1, 0, 0), (2, 90, 80), (3, 45, 40), (4, 0, 80))
    )
    free = group(Layout(LayoutKind.FREE, spots=spots), 4)
    assert [where(free, bolt) for bolt in (1, 2, 3, 4)] == ["Bottom left.", "Top right.", "In the middle.", "Top left."]


@pytest.mark.parametrize("layout", [None, Layout(LayoutKind.ROWS, rows=((1, 2),)), Layout(LayoutKind.CIRCLE)])
def test_nothing_is_said_of_a_bolt_that_is_not_on_the_map(layout: Layout | None) -> None:
    assert where(group(layout), 7) == ""
