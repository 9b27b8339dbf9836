"""Bolts and what their joint allows, by voice: doubted one by one, by the class of the tool in hand, never lost."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.display.picture import picture
from assistant.language.en.numbers import number_words
from assistant.procedure.format.reader import read_text
from tests.journal.golden import record_of
from tests.session.bench import Bench

FILE = Path(__file__).parents[2] / "tests/typed/procedures/read-joint.yaml"
TEXT = FILE.read_text("utf-8")
WITHOUT = TEXT.replace("    clamp_length: 60 mm\n    clamped: steel\n", "")
ANGLE = TEXT.replace(
    "- {torque: 30 N·m, runs: [{group: yoke, bolts: 1-6}]}\n          - {angle: 60°, read: torque, runs",
    "- {torque: 20 N·m, runs: [{group: yoke, bolts: 1-6}]}\n          - {torque: 50 N·m, read: angle, runs",
)
INCH = (
    TEXT.replace("M10", "3/8-24").replace("10.9", "grade 8").replace("60 mm", "2.4 in").replace("30 N·m", "20 lbf·ft")
)
TOOLS = """\
# Invented for these tests.
wrenches:
  - {id: wrench, name: wrench with a display, type: %s, unit: N·m, low: 5, high: 200, graduation: 0.5,
     calibrated: 2026-12-01}
gauges:
  - {id: gauge, name: angle gauge, graduation: 2°}
"""


def turned(text: str, *readings: str, tools: str = "") -> Bench:
    """Return a job behind its first torque, with ``readings`` behind it."""
    bench = Bench(read_text(text.encode(), "read.yaml").usable, tools=tools)
    bench.hears("next", "next", "next", "next", *readings)
    return bench


def doubted(bench: Bench) -> list[tuple[int, str]]:
    return [(one["bolt"], one["side"]) for one in bench.facts("joint_doubted")]


def test_the_first_bolt_is_doubted_without_any_neighbour() -> None:
    bench = turned(TEXT, "reading thirty")
    assert doubted(bench) == [(1, "below")]
    assert not bench.facts("bolt_doubted")


def test_a_procedure_without_a_clamp_length_compares_with_neighbours_only() -> None:
    bench = turned(WITHOUT, "reading thirty", "reading one hundred and forty")
    assert doubted(bench) == []


def test_an_angle_at_a_torque_is_compared_with_the_joint_as_well() -> None:
    bench = turned(ANGLE, "reading forty", "reading five", "reading two hundred and fifty")
    assert doubted(bench) == [(2, "below"), (3, "above")]
    assert bench.facts("joint_doubted")[0]["turned"] is None


def test_a_joint_in_inches_is_worked_out_in_its_own_units() -> None:
    """27 N·m behind 3/8-24 on 2.4 inch: the fact has pound-feet as they were read off."""
    bench = turned(INCH, "reading twenty five", "reading fifty")
    assert doubted(bench) == [(1, "below")]
    (fact,) = bench.facts("joint_doubted")
    assert (fact["clamp_length"], fact["before"]) == ({"value": "2.4", "unit": "in"}, {"value": "20", "unit": "lbf·ft"})
    assert fact["least"]["unit"] == "lbf·ft"
    metric = turned(INCH, "use newton metres", "reading thirty four").facts("joint_doubted")[0]["least"]
    assert Decimal(fact["least"]["value"]) * Decimal("1.3558179") == pytest.approx(
        Decimal(metric["value"]), abs=Decimal("0.2")
    )


def test_a_torque_that_was_left_out_is_not_reckoned_with() -> None:
    """Without the torque before it nobody knows what an angle makes."""
    bench = Bench(read_text(TEXT.encode(), "read.yaml").usable)
    bench.hears("next", "next", "next", "skip this", "told by the foreman", "end note", "confirmed", "reading ten")
    assert bench.facts("bolt_read")
    assert doubted(bench) == []


def test_a_drag_is_read_off_too_and_only_makes_the_band_wider() -> None:
    drag = TEXT.replace("bolts: 1-6}]}\n          - {angle", "bolts: 1-6, drag: 40 N·m}]}\n          - {angle")
    assert doubted(turned(TEXT, "reading one hundred and forty")) == [(1, "above")]
    assert doubted(turned(drag, "reading one hundred and forty", "reading thirty")) == [(2, "below")]


@pytest.mark.parametrize(("kind", "doubts"), [("II A", [(1, "below")]), ("I A", [])])
def test_the_class_of_the_wrench_in_hand_is_what_a_reading_may_be_off(kind: str, doubts: list[tuple[int, str]]) -> None:
    """59.7 N·m against 62.8: four percent of a setting wrench leave it in doubt, six of an indicating one do not."""
    bench = turned(TEXT, "reading fifty nine point seven", tools=TOOLS % kind)
    assert bench.session.state.planned
    assert doubted(bench) == doubts


@pytest.mark.parametrize(("kind", "doubts"), [("II A", 1), ("I A", 0)])
def test_neighbours_are_compared_by_the_class_of_the_wrench_in_hand(kind: str, doubts: int) -> None:
    """Eleven percent off: more than ten (class four, and six), less than twelve (class six, and six)."""
    readings = ("eighty", "eighty one", "eighty", "eighty", "eighty", "seventy one point two")
    bench = turned(WITHOUT, *(f"reading {one}" for one in readings), tools=TOOLS % kind)
    assert len(bench.facts("bolt_doubted")) == doubts


def test_a_doubt_by_the_joint_is_known_after_the_program_was_killed_and_the_page_says_why() -> None:
    bench = turned(TEXT, "reading thirty")
    bench.resume()
    (open_now, ground) = picture(bench.session.view(bench.now))["troubles"]
    assert open_now == "Bolt one is in doubt."
    assert ground.startswith("Bolt one read 30 N·m, its joint allows 62.8 to 110.6 N·m")
    bench.hears("go back", "tighten again", "confirmed")
    assert not bench.session.state.doubts


def test_the_record_has_what_the_doubt_was_worked_out_from(tmp_path: Path) -> None:
    text = record_of("read-joint", tmp_path)
    assert "below what its joint allows: IN DOUBT (from 30 N·m and a further 60°, 62.8 N·m to 110.6 N·m" in text
    assert "clamp length 60 mm, steel, friction 0.09 to 0.15, tool ± 4 %; worked out, not measured" in text
    assert "dry thread" in text


def test_how_the_bolts_compare_tells_the_band_of_the_joint_in_the_unit_that_is_spoken() -> None:
    """As the fact of a doubt has it: 62.8 N·m; in pound-feet its end and that in newton metres are one torque."""
    metric, inch = turned(TEXT, "reading thirty"), turned(INCH, "reading twenty five")
    assert metric.hear("how do the bolts compare").endswith(
        "The joint allows at least sixty-three newton metres. And at most one hundred and eleven newton metres."
    )
    least = Decimal(inch.facts("joint_doubted")[0]["least"]["value"])
    said = inch.hear("how do the bolts compare")
    assert f"The joint allows at least {number_words(round(least))} pound-feet." in said
    inch.hear("use newton metres")
    assert f"at least {number_words(round(Decimal('1.3558179') * least))} newton metres" in inch.hear(
        "compare the bolts"
    )
