"""A rehearsal that was broken off and is taken up later: what came due meanwhile is told once, and kept once."""

from __future__ import annotations

import pytest

from tests.typed.lead import lines_to
from tests.typed.play import ROOT, play

COVER = ROOT / "procedures/gearbox-side-cover.yaml"
TOOLS = ROOT / "procedures/tools/practice-bay.yaml"
LONG_AGO = "The torque of these bolts was given three hours and fifty-"
LATER = "2026-12-01T12:00"


@pytest.fixture
def at_angle() -> list[str]:
    """The way to the further angle of the last tightening: its torque was given."""
    return [*lines_to(COVER, "end-tight", TOOLS), "next"]


@pytest.mark.parametrize("tools", [None, TOOLS])
def test_a_long_pause_while_nobody_was_there_is_one_fact_and_is_told_once(tmp_path, at_angle, tools):
    before = play(COVER, at_angle, tools=tools, home=tmp_path)
    assert "A further sixty degrees" in before.said[-1]
    then = play(COVER, "where am i\n", "--job", "last", home=tmp_path, begin=LATER)
    assert len(then.facts("long_pause")) == 1
    assert " ".join(then.said).count(LONG_AGO) == 1


def test_a_long_pause_is_told_to_who_takes_the_job_up_in_a_pause(tmp_path, at_angle):
    play(COVER, [*at_angle, "pause"], tools=TOOLS, home=tmp_path)
    then = play(COVER, ["+1 min", "carry on"], "--job", "last", home=tmp_path, begin=LATER)
    assert then.answers[0].said.startswith(LONG_AGO)
    assert len(then.facts("long_pause")) == 1
    assert " ".join(then.said).count(LONG_AGO) == 1


def test_somebody_else_who_takes_the_job_up_hears_of_it_once(tmp_path, at_angle):
    play(COVER, at_angle, "--operator", "Kim", tools=TOOLS, home=tmp_path)
    then = play(COVER, "where am i\n", "--job", "last", "--operator", "Sam", home=tmp_path, begin=LATER)
    assert [len(then.facts(kind)) for kind in ("handed_over", "long_pause", "tools_chosen")] == [1, 1, 1]
    assert " ".join(then.said).count(LONG_AGO) == 1


@pytest.mark.parametrize("later", ["2026-12-01T08:01", LATER])
def test_what_waited_was_interrupted_however_late_the_job_is_taken_up(tmp_path, later):
    """Nobody was there to say the word, so it is not silence that dropped it."""
    play(COVER, ["finish job", '"the shift is over"', "end note"], home=tmp_path)
    then = play(COVER, "where am i\n", "--job", "last", home=tmp_path, begin=later)
    assert [fact["why"] for fact in then.facts("cancelled")] == ["interrupted"]


@pytest.mark.parametrize("later", ["2026-12-01T08:01", LATER])
def test_words_of_a_note_that_was_broken_off_are_kept(tmp_path, later):
    play(COVER, ["take a note", '"the lower face is scratched"'], home=tmp_path)
    then = play(COVER, "where am i\n", "--job", "last", home=tmp_path, begin=later)
    assert [(fact["text"], fact["complete"], fact["silent_ms"]) for fact in then.facts("note")] == [
        ("the lower face is scratched", False, 0)
    ]
    assert then.answers[0].said.count("the lower face is scratched") == 1


@pytest.mark.parametrize("then", [["confirmed"], ["pause", "carry on", "confirmed"]])
@pytest.mark.parametrize("who", [[], ["--operator", "Sam"]])
def test_a_hazard_that_was_cut_is_read_when_the_job_is_taken_up_and_can_be_confirmed(tmp_path, then, who):
    """It was read to its end since, so it is not read a third time."""
    lid = ROOT / "tests/typed/procedures/hot-lid.yaml"
    cut = play(lid, ["next", "next", "(after 1 s) be quiet"], home=tmp_path)
    assert [fact["is_cut"] for fact in cut.facts("hazard_cut")] == [True]
    again = play(lid, then, "--job", "last", *who, home=tmp_path, begin="2026-12-01T08:30")
    assert "Steam is under pressure." in again.answers[0].said
    assert [fact["heard"] for fact in again.facts("hazard_acknowledged")] == ["all"]


def test_a_hazard_that_was_cut_is_still_cut_when_the_job_is_taken_up_in_a_pause(tmp_path):
    lid = ROOT / "tests/typed/procedures/hot-lid.yaml"
    play(lid, ["next", "next", "(after 1 s) pause"], home=tmp_path)
    again = play(lid, ["(after 9 s) carry on", "(after 1 s) confirmed"], "--job", "last", home=tmp_path, begin="")
    assert "Steam is under pressure." not in again.answers[0].said
    assert again.last.said.startswith("First hear it to its end.")
