"""The computer's clock is set while timers run: each is asked about, and none counts until somebody agrees."""

from __future__ import annotations

import re

import pytest

from tests.session.bench import Bench
from tests.session.jobs import pump

BACK = "The clock of this computer was set back by two minutes."


@pytest.fixture
def curing() -> Bench:
    """A job in which the cure runs."""
    bench = Bench(pump())
    bench.lead_to("cure")
    bench.hear("next")
    assert bench.facts("timer_started")[-1]["timer"] == "cure"
    return bench


@pytest.fixture
def sealed() -> Bench:
    """A job in which the open time of the sealant runs, at the step that must come before its end."""
    bench = Bench(pump())
    bench.lead_to("seal")
    bench.lead_to("tighten-cover")
    return bench


def set_clock(bench: Bench, by_s: float) -> str:
    return bench.take(bench.session.clock_set(by_s, bench.now))


def test_it_is_said_written_down_and_the_timer_is_read_out_with_what_is_left(curing: Bench) -> None:
    said = set_clock(curing, -120)
    assert said.startswith(f"{BACK} By my count: Cure: thirty minutes left.")
    assert curing.kinds() == ["clock_stepped", "timers_doubted", "asked"]
    assert curing.phase == "confirming"
    assert all(len(sentence.split()) <= 20 for sentence in re.split(r"(?<=[.?!:]) ", said))


def test_confirmed_leaves_it_as_it_is_and_the_wait_ends_in_its_own_time(curing: Bench) -> None:
    set_clock(curing, 3600)
    assert curing.kinds() == ["clock_stepped", "timers_doubted", "asked"]
    assert "thirty minutes left" in curing.hear("confirmed")
    assert curing.facts("timer_agreed") == [{"timer": "cure", "seconds_left": 1799}]
    assert "is over" in curing.wait(1800)
    curing.hear("next")
    assert curing.facts("step_done")[-1]["step"] == "cure"
    assert not [one for one in curing.facts("deviation") if one["what"] == "wait"]


@pytest.mark.parametrize("words", ["cancel", "no"])
def test_a_timer_that_nobody_agreed_to_ends_by_its_count_and_next_does_not_pass_it(curing: Bench, words: str) -> None:
    set_clock(curing, 3600)
    curing.hear(words)
    assert curing.wait(1800).startswith("By my count: Cure is over")
    assert "If that is right, say confirmed." in curing.hear("next")
    assert curing.facts("step_done")[-1]["step"] != "cure"
    curing.hear("confirmed")
    curing.hear("next")
    assert curing.facts("step_done")[-1]["step"] == "cure"


def test_starting_it_again_is_no_longer_in_doubt(curing: Bench) -> None:
    set_clock(curing, -120)
    curing.hears("cancel", "start timer")
    assert curing.facts("timer_started")[-1]["repeated"] is True
    assert "thirty minutes left" in curing.hear("time left")
    assert curing.facts("timer_agreed") == []


def test_an_open_time_in_doubt_is_asked_about_before_the_joint_may_be_made(sealed: Bench) -> None:
    set_clock(sealed, -120)
    sealed.hear("cancel")
    done = len(sealed.facts("tightened"))
    assert "By my count: Sealant open time:" in sealed.hear("next")
    assert len(sealed.facts("tightened")) == done
    sealed.hear("confirmed")
    sealed.hear("next")
    assert len(sealed.facts("tightened")) == done + 1


def test_in_a_pause_it_is_said_and_the_question_waits_for_the_end_of_the_pause(curing: Bench) -> None:
    curing.hear("pause")
    assert set_clock(curing, -120) == BACK
    assert curing.phase == "paused"
    assert "If that is right, say confirmed." in curing.hear("carry on")


def test_without_a_timer_it_is_only_said() -> None:
    bench = Bench(pump())
    assert set_clock(bench, -120) == BACK
    assert bench.kinds() == ["clock_stepped"]


@pytest.mark.parametrize(
    ("by_s", "words"),
    [
        (-3.0, "back by three seconds"),
        (150.0, "forward by two minutes"),
        (-5400.0, "back by one hour and thirty minutes"),
        (7300.0, "forward by two hours"),
        (-1.8e9, "back by more than a day"),
    ],
)
def test_how_far_is_said_in_round_words(by_s: float, words: str) -> None:
    assert set_clock(Bench(pump()), by_s) == f"The clock of this computer was set {words}."


def test_a_timer_in_doubt_still_is_when_the_job_is_taken_up_again(curing: Bench) -> None:
    set_clock(curing, -120)
    curing.hear("cancel")
    curing.resume()
    assert "If that is right, say confirmed." in curing.hear("next")
