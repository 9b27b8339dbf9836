"""Tables of readings: few words, nothing taken that is far off, nothing lost, and every correction by name."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.desk.dry_run import dry_run
from assistant.facts.codes import Side
from assistant.language.en import ENGLISH
from assistant.language.en.alike import alike_by_ear
from assistant.procedure.format.heard import words_heard
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Limits
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells
from assistant.session.kinds.measure_words import cell_called
from assistant.voice.listening.engine_phrases import as_said, engine_phrases
from tests.session.bench import Bench
from tests.session.examples import procedure, tabled

ROOT = Path(__file__).parents[2]
HEADS = read_procedure(ROOT / "tests/typed/procedures/practice-heads.yaml").usable
GOOD = ["point two", "point three"] * 6


def at_the_table() -> Bench:
    bench = Bench(HEADS)
    bench.hears("next", "next")
    assert bench.session.state.place == "clearances"
    return bench


def words_of(bench: Bench, answers: list[str]) -> int:
    """Return how many words the assistant says from coming to the table to its end, the next step not counted."""
    begun = bench.session.view(bench.now)["last_said"].partition("Step one")
    said = [f"{begun[1]}{begun[2]}"]
    said += [bench.hear(answer) for answer in answers]
    said[-1] = said[-1].partition("Step two")[0]
    return sum(len(text.replace("-", " ").split()) for text in said)


def test_twelve_readings_take_under_ninety_words() -> None:
    bench = at_the_table()
    assert words_of(bench, GOOD) < 90
    assert bench.session.state.place == "covers"
    assert len(bench.session.state.cells) == 12


def test_a_reading_that_is_within_limits_is_answered_with_the_next_name_alone() -> None:
    bench = at_the_table()
    bench.hears("point two", "point three")
    assert bench.hear("point two") == "Two, exhaust."
    assert bench.hear("point three") == "Three, intake."


def test_one_that_was_heard_badly_is_said_back() -> None:
    bench = at_the_table()
    bench.hears("point two", "point three")
    assert bench.hear("point two", confidence=0.8) == "Point two. Two, exhaust."


@pytest.mark.parametrize(
    ("low", "high", "good", "far"),
    [
        ("0.15", "0.25", ("0.05", "0.15", "0.30", "0.45"), ("0.46", "1.5", "2", "15")),
        ("10", "14", ("5", "9.5", "14", "22"), ("1", "1.2", "30", "120")),
        ("8", None, ("3", "8", "12", "24"), ("0.8", "2", "80")),
        (None, "0.05", ("0", "0.03", "0.12"), ("0.16", "0.5", "5")),
        ("-0.20", "0.20", ("-1", "-0.3", "0.9"), ("-2", "1.5")),
    ],
)
def test_what_can_well_be_a_reading(low: str | None, high: str | None, good: tuple, far: tuple) -> None:
    """A point that was lost, a digit too many, or another unit is far off: those slips are the common ones (ours)."""
    of = Limits(Decimal(low) if low else None, Decimal(high) if high else None, "mm")
    assert [value for value in good if cells.is_far(Decimal(value), of)] == []
    assert [value for value in far if not cells.is_far(Decimal(value), of)] == []
    numbers = cells.numbers_of(of)
    assert not any(cells.is_far(value, of) for value in numbers)
    assert {end for end in (of.low, of.high) if end is not None} <= set(numbers)
    assert len(numbers) <= cells.MOST_NUMBERS


def test_only_numbers_that_can_well_be_are_listened_for_alone_and_all_of_them_are_heard() -> None:
    phrases = at_the_table().session.grammar().phrases
    assert {"point two", "zero point two", "point one five"} <= set(phrases)
    assert not {"point nine", "two", "twelve", "one point five", "point five"} & set(phrases)
    told = engine_phrases(at_the_table().session.grammar(), ENGLISH.numbers, (), words_heard().__contains__)
    assert {"point two", "cylinder one exhaust again", "six intake again"} <= set(map(as_said, told))


def test_a_number_far_off_is_read_back_and_counts_only_when_it_is_confirmed() -> None:
    bench = at_the_table()
    assert "far from the limits" in bench.hear("reading one point five")
    assert bench.session.state.cells == {}
    assert (
        bench.hear("point two")
        == "One, exhaust. At least zero point two five. At most zero point three five millimetres."
    )
    bench.hears("reading twelve", "confirmed")
    value = bench.session.state.cells["clearances", "1", "exhaust"]
    assert (value.reading.value, value.side) == (12, Side.ABOVE)


def test_nothing_is_answered_while_something_is_out_of_limits_without_a_reason() -> None:
    bench = at_the_table()
    bench.hears(*["point two", "point four"] * 6)
    assert "clearances" not in bench.session.state.done
    said = bench.spoken[-1]
    assert said.startswith("Point four, above. Six out of limits. One exhaust, point four. Two exhaust")
    assert "And two more: say tell me more." in said
    assert bench.hear("tell me more") == "Five exhaust, point four. Six exhaust, point four."
    bench.hears("next", "cancel", "next", "they wait for shims", "end note")
    assert "clearances" not in bench.session.state.done
    bench.hear("confirmed")
    assert {"clearances"} <= bench.session.state.done & bench.session.state.deviations


@pytest.mark.parametrize("at", range(13))
def test_a_job_goes_on_from_its_facts_at_every_reading(at: int) -> None:
    bench = at_the_table()
    bench.hears(*GOOD[:at])
    before = bench.session.grammar(), bench.session.view(bench.now)["table" if at < 12 else "step"]
    bench.resume()
    assert (bench.session.grammar(), bench.session.view(bench.now)["table" if at < 12 else "step"]) == before
    bench.hears(*GOOD[at:])
    assert bench.session.state.place == "covers"


def test_every_place_can_be_called_by_name_and_by_no_name_two() -> None:
    for job in (HEADS, tabled()):
        for step in (one for one in job.steps if isinstance(one, MeasureStep)):
            bench = Bench(procedure(step))
            if step.hazards:
                bench.hear("confirmed")
            named = [phrase for phrase in bench.session.grammar().phrases if phrase.endswith(" again")]
            called = {
                name for phrase in named if (name := phrase.removesuffix(" again")) not in ("say", "brief", "say that")
            }
            for spot in step.cells():
                bench.hear("go back")
                (name, *_) = ENGLISH.tables.cell_names(cell_called(step, spot))
                assert name in called
                bench.hear(f"{name} again")
                assert bench.session.state.at_cell[step.id] == (spot[0].id, spot[1].id)


def test_a_found_value_is_never_wrong_and_a_left_one_has_to_be_right() -> None:
    bench = Bench(procedure(*tabled().steps[1:]))
    bench.hears("reading two", "reading seven")
    assert bench.spoken[-1].startswith("Seven, below. Two out of limits.")
    assert "say next to accept" in bench.spoken[-1]
    bench.hears("front left as left again", "reading nine", "next")
    assert bench.session.state.place == "toe"
    assert "pads" not in bench.session.state.deviations


def test_a_table_that_is_done_can_be_corrected_and_is_open_until_it_is_right_again() -> None:
    bench = at_the_table()
    bench.hears(*GOOD, "go back")
    assert bench.session.state.place == "clearances"
    bench.hears("two exhaust again", "point four")
    assert "clearances" not in bench.session.state.done
    bench.hears("two exhaust again", "point three")
    assert bench.session.state.place == "covers"
    assert "clearances" in bench.session.state.done


def test_whoever_takes_over_hears_where_the_table_is_and_what_was_left_out() -> None:
    bench = at_the_table()
    bench.hears("point two", "skip this", "the plug is in the way", "end note", "confirmed", "hand over", "confirmed")
    said = bench.hear("take over")
    assert "Cylinder two, intake" in said
    assert "the plug is in the way" in said


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("15", "50", True), ("2", "20", False), ("left", "lift", True), ("intake", "exhaust", False), ("b", "d", True),
        ("front left", "front right", False), ("inner", "outer", False), ("upper", "lower", False), ("a", "b", False),
        ("rear", "front", False), ("bank m", "bank n", True),
    ],
)  # fmt: skip
def test_what_sounds_alike(one: str, other: str, alike: bool) -> None:
    """Rhyming letters are those that spelling alphabets exist for (common practice, no source)."""
    assert alike_by_ear(one, other) is alike
    assert alike_by_ear(other, one) is alike


def test_the_dry_run_of_a_preview_goes_through_a_table_and_says_the_words_of_it() -> None:
    for job in (HEADS, tabled()):
        stops = {stop.key: stop for stop in dry_run(job, lambda text, _: len(text.split()) / 3)}
        assert len(stops["clearances"].turns) >= len(list(job.steps[0].cells()))


def test_readings_are_found_by_row_and_column() -> None:
    bench = at_the_table()
    bench.hears("point two", "point three one")
    here = bench.session._here(bench.now)
    assert [(spot[1].id, value.reading.value) for _, spot, value in cells.readings_at(here, "1")] == [
        ("intake", Decimal("0.20")),
        ("exhaust", Decimal("0.31")),
    ]
    assert [value.side for _, _, value in cells.readings_at(here, "1", "exhaust")] == [Side.WITHIN]
    assert list(cells.readings_at(here, "2")) == []
