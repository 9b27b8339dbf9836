"""Free lengths of stretched bolts by voice, in millimetres and in inches, and whoever does as told comes to the end."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.en.numbers import number_words
from assistant.procedure.format.reader import read_text
from tests.session.bench import Bench

FILES = Path(__file__).parents[2] / "tests/typed/procedures"
TEXT = (FILES / "stretch-cap.yaml").read_text("utf-8")
INCHES = TEXT.replace("at most 118.5 mm", "at most 4.66 in")


def bench_of(text: str) -> Bench:
    bench = Bench(read_text(text.encode(), "cap.yaml").usable)
    bench.hears("next", "next", "next")
    return bench


def test_lengths_in_inches_are_compared_in_inches() -> None:
    bench = bench_of(INCHES)
    bench.hears(
        "reading four point six seven", "reading four point six six", *(["reading four point six five"] * 5), "next"
    )
    (fact,) = bench.facts("lengths_judged")
    assert (fact["beyond"], fact["close"]) == ([1], [2])
    assert fact["limit"] == {"value": "4.66", "unit": "in"}


@given(st.integers(-25, 25), st.integers(500, 9000))
@settings(max_examples=25, deadline=None)
def test_thousandths_of_an_inch_are_heard_kept_and_compared_exactly(off: int, limit: int) -> None:
    text = TEXT.replace("at most 118.5 mm", f"at most {limit / 1000:.3f} in")
    bench, length = bench_of(text), Decimal(limit + off) / 1000
    bench.hears(*[f"reading {number_words(length).replace('-', ' ')}"] * 7)
    kept = [Decimal(fact["reading"]["value"]) for fact in bench.facts("cell_read")]
    far = abs(off) * 20 > limit  # such a length is read back before it counts
    assert kept == ([] if far else [length] * 7)
    assert all(fact["side"] == ("above" if off > 0 else "within") for fact in bench.facts("cell_read"))


@pytest.mark.parametrize("length", ["at most 4.6655 in", "4.60 to 4.66 in", "at most 118.505 mm"])
def test_a_free_length_that_cannot_be_said_or_has_two_limits_is_told(length: str) -> None:
    found = read_text(TEXT.replace("at most 118.5 mm", length).encode(), "cap.yaml")
    assert found.procedure is None
    assert found.errors[0].advice.startswith(("choose a unit", "write for example"))


def test_a_bolt_that_is_measured_again_and_short_enough_is_not_replaced() -> None:
    bench = bench_of(TEXT)
    said = bench.hears("reading one hundred and nineteen", *(["reading one hundred and eighteen"] * 6), "next")
    assert "Bolt one is too long. Put in a new one." in said
    assert bench.session.state.worn == {("cap", 1)}
    bench.hears("go back", "bolt one again", "reading one hundred and eighteen")
    assert bench.facts("lengths_judged")[-1]["beyond"] == []
    assert bench.session.state.worn == set()


def test_that_a_bolt_must_be_replaced_is_known_after_the_program_was_killed() -> None:
    bench = bench_of(TEXT)
    bench.hears("reading one hundred and nineteen", *(["reading one hundred and eighteen"] * 6), "next")
    bench.resume()
    assert bench.hear("next") == "Next does not pass this. Say confirmed when they are new."
    assert not bench.facts("tightened")


@pytest.mark.parametrize("name", ["stretch-cap", "read-bolts"])
def test_whoever_does_what_the_procedure_asks_comes_to_its_end(name: str) -> None:
    bench = Bench(read_text((FILES / f"{name}.yaml").read_bytes(), name).usable)
    bench.lead_to_end()
    assert bench.session.state.closed
