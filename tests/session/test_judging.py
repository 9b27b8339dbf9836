"""Bolts among their neighbours by voice: read off one by one, doubted, decided about, and never lost."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.display.picture import picture
from assistant.procedure.format.reader import read_text
from tests.journal.golden import record_of
from tests.session.bench import Bench

FILE = Path(__file__).parents[2] / "tests/typed/procedures/read-bolts.yaml"
TEXT = FILE.read_text("utf-8")
ANGLE = TEXT.replace("{torque: 30 N·m, runs", "{torque: 30 N·m, read: angle, runs").replace(
    "{angle: 90°, read: torque, runs", "{angle: 90°, runs"
)
TEN = TEXT.replace("bolts: 1-7", "bolts: 1-10").replace("circle: 1-7", "circle: 1-10")
ALIKE = ("reading eighty one", "reading eighty", "reading seventy nine", "reading eighty two", "reading eighty",
         "reading eighty one")  # fmt: skip


def bench_of(text: str) -> Bench:
    return Bench(read_text(text.encode(), "read.yaml").usable)


def turned(text: str = TEXT, *readings: str) -> Bench:
    """Return a job behind its torque, with ``readings`` behind the angle."""
    bench = bench_of(text)
    bench.hears("next", "next", "next", "next", *readings)
    return bench


def doubted(bench: Bench) -> list[tuple[int, str]]:
    return [(one["bolt"], one["side"]) for one in bench.facts("bolt_doubted")]


def test_nothing_is_said_of_bolts_that_are_alike() -> None:
    bench = turned(TEXT, *ALIKE)
    assert "neighbours" not in bench.hear("reading eighty one")
    assert not bench.facts("bolt_doubted")


def test_a_doubt_has_the_values_that_it_was_made_of() -> None:
    """80, 81, 79, 82, 80, 81, 48: median 80, MAD 1; 1.4826 x 1.140 (Croux and Rousseeuw, from memory) = 1.690 N·m."""
    bench = turned(TEXT, *ALIKE, "reading forty eight")
    (fact,) = bench.facts("bolt_doubted")
    assert (fact["median"]["value"], fact["mad"]["value"], fact["number"]) == ("80", "1", 7)
    assert Decimal(fact["score"]) == pytest.approx(Decimal("-18.933"), abs=Decimal("0.001"))


def test_the_same_bolt_strikes_in_pound_feet() -> None:
    words = ("sixty", "fifty nine", "fifty eight", "sixty", "fifty nine", "sixty", "thirty five")
    bench = turned(TEXT, "use pound feet", *(f"reading {word}" for word in words))
    assert doubted(bench) == [(7, "below")]
    assert bench.facts("bolt_read")[0]["reading"] == {"value": "60", "unit": "lbf·ft"}


def test_an_angle_at_a_torque_is_judged_as_well() -> None:
    bench = bench_of(ANGLE)
    bench.hears("next", "next", "next", *(["reading forty"] * 6))
    assert "turned far more than its neighbours" in bench.hear("reading ninety")
    assert doubted(bench) == [(7, "above")]


def test_a_bolt_strikes_at_once_when_it_has_enough_neighbours_and_the_page_marks_it() -> None:
    bench = turned(TEN, *ALIKE)
    assert "Look at it" in bench.hear("reading one hundred and twenty")
    shown = picture(bench.session.view(bench.now))["tighten"]
    assert [one["number"] for one in shown["bolts"] if one["state"] == "in doubt"] == [7]
    assert "in doubt" in shown["counts"]


def test_with_five_bolts_none_is_doubted() -> None:
    five = TEXT.replace("bolts: 1-7", "bolts: 1-5").replace("circle: 1-7", "circle: 1-5")
    bench = turned(five, *ALIKE[:4], "reading ten")
    assert not bench.facts("bolt_doubted")
    assert "Too few to compare" in bench.hear("how do the bolts compare")


def test_a_doubt_is_known_after_the_program_was_killed_and_can_be_left() -> None:
    bench = turned(TEXT, *ALIKE, "reading forty eight")
    bench.resume()
    assert picture(bench.session.view(bench.now))["troubles"] == ["Bolt seven is in doubt."]
    assert "Bolt seven is in doubt" in bench.hear("what is left")
    bench.hears("leave bolt seven as it is")
    assert bench.session.state.dictation is not None


def test_a_doubt_is_gone_with_the_bolt_that_is_loosened_and_tightened_again() -> None:
    bench = turned(TEXT, *ALIKE, "reading forty eight", "go back", "go back", "tighten again")
    assert bench.session.state.doubts
    bench.hear("confirmed")
    assert not bench.session.state.doubts
    assert ("cap-tight", 2, 1, 7) not in bench.session.state.read


def test_a_bolt_that_nobody_doubts_is_not_left_as_it_is() -> None:
    bench = turned(TEXT, *ALIKE)
    bench.hear("leave bolt two as it is")
    assert bench.facts("refused")[-1]["why"] == "not_held"


def test_next_goes_on_without_a_reading_and_the_others_are_judged_all_the_same() -> None:
    bench = turned(TEN, "reading thirty", *ALIKE, "next", "next")
    assert doubted(bench) == []
    bench.hear("next")
    assert doubted(bench) == [(1, "below")]
    assert len(bench.facts("bolt_read")) == 7


def test_the_record_has_the_doubt_with_its_values_and_the_reason(tmp_path: Path) -> None:
    text = record_of("read-bolts", tmp_path)
    assert "IN DOUBT (median 80 N·m, MAD 1 N·m, 7 bolts" in text
    assert "the thread was greased" in text
    assert '"reading": "81 N·m"' in text
