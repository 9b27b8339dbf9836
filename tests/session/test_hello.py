"""What is said before the work: how long it takes, and when it is due again."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.procedure.model import Interval
from assistant.procedure.steps.do import DoStep
from tests.session.bench import Bench
from tests.session.examples import procedure


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(900, "fifteen minutes"), (3600, "one hour"), (18000, "five hours"), (None, "")],
)
def test_the_book_time_is_said_once(seconds: int | None, words: str) -> None:
    bench = Bench(procedure(DoStep("a", "Do it."), book_time=seconds))
    assert bench.spoken[0].count("By the book:") == (1 if words else 0)
    assert f"By the book: {words}." in bench.spoken[0] or not words


@pytest.mark.parametrize(
    ("due", "words"),
    [
        (
            Interval(Decimal(60000), "km", None, 48),
            "It is due again after sixty thousand kilometres. Or after four years. Whichever comes first.",
        ),
        (Interval(None, "km", Decimal(500), None), "It is due again after five hundred hours of running."),
        (Interval(None, "km", None, 18), "It is due again after eighteen months."),
    ],
)
def test_the_interval_is_said_with_one_number_in_a_sentence(due: Interval, words: str) -> None:
    assert words in Bench(procedure(DoStep("a", "Do it."), due=due)).spoken[0]


def test_without_an_interval_nothing_is_said_of_it() -> None:
    assert "due again" not in Bench(procedure(DoStep("a", "Do it."))).spoken[0]


def test_the_standing_caution_and_invented_values_are_said_before_the_work() -> None:
    spoken = Bench(procedure(DoStep("a", "Do it."))).spoken[0]
    assert "The maker's procedure, local codes and licensed practice come first." in spoken
    assert "invented" not in spoken
    spoken = Bench(replace(procedure(DoStep("a", "Do it.")), values="invented")).spoken[0]
    assert "The values are invented, for practice only." in spoken
