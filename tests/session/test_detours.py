"""Going elsewhere and back: nobody goes where it is wrong, what was jumped over is kept, a detour outlives a crash."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.display.picture import picture
from assistant.facts.codes import Direction
from assistant.facts.reminders import TimesKnown
from assistant.procedure.model import Chapter, Group, Procedure, Step, Timer, TimerKind
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.wait import WaitStep
from tests.fakes.mechanic import REASON
from tests.session.bench import Bench
from tests.session.examples import around, every_kind, procedure
from tests.session.turning import lid_and_rail


def at(step: str) -> Bench:
    bench = Bench(around())
    bench.lead_to(step)
    return bench


def curing(*steps: Step) -> Procedure:
    """A cure, an open time that runs from the first step on, what must come before its end, and ``steps``."""
    return procedure(
        DoStep("mix", "Mix the paste.", starts_timer="open"),
        WaitStep("set", "Let it set.", timer="cure"),
        DoStep("join", "Join the parts.", before_timer="open", minutes=Decimal(3)),
        *steps,
        timers=(Timer("open", "open time", TimerKind.OPEN, 600), Timer("cure", "cure time", TimerKind.CURE, 1800)),
    )


# What may be done meanwhile


@pytest.mark.parametrize(
    ("minutes", "seconds", "offered"),
    [
        (None, 0, False),  # an unknown length is too long while an open time runs
        (Decimal(4), 0, True),  # ten minutes are left, four and the three of the join go in
        (Decimal(7), 0, False),  # seven and three are ten, and a few seconds are gone
        (Decimal("6.5"), 0, True),
        (Decimal(4), 200, False),
    ],
)
def test_what_would_let_an_open_time_run_out_is_never_offered(
    minutes: Decimal | None, seconds: float, offered: bool
) -> None:
    bench = Bench(curing(DoStep("label", "Write the label.", needs=(), minutes=minutes)))
    bench.lead_to("set")
    bench.wait(seconds)
    said = bench.hear("start timer")
    assert ("While it cures, step four" in said) is offered
    assert ("step four" in bench.hear("what may i do meanwhile")) is offered


@pytest.mark.parametrize(("number", "offered"), [(12, True), (20, False)])
def test_an_estimate_counts_for_an_open_time_where_there_are_no_minutes(number: int, offered: bool) -> None:
    # By hand: ten minutes are left, three of them for the join; out by hand: 30 s, and 20 s for each.
    group = Group("lid", "lid bolts", "six millimetre", tuple(range(1, number + 1)))
    job = curing(CountStep("screws", "Count the screws.", needs=(), group="lid", direction=Direction.OUT))
    bench = Bench(replace(job, groups=(group,)))
    bench.lead_to("set")
    assert ("While it cures, step four" in bench.hear("start timer")) is offered


def test_how_long_a_step_took_before_counts_for_an_open_time() -> None:
    bench = Bench(curing(DoStep("label", "Write the label.", needs=())))
    bench.session.know(TimesKnown(own={}, own_jobs=0, bay={"label": 120}, bay_jobs=2), bench.now)
    bench.lead_to("set")
    assert "While it cures, step four" in bench.hear("start timer")


def test_a_step_that_begins_an_open_time_or_moves_a_lock_or_needs_the_wait_is_never_offered() -> None:
    more = (
        DoStep("bead", "Lay a bead.", needs=(), starts_timer="open", minutes=Decimal(1)),
        DoStep("pin-in", "Put in the pin.", needs=(), lock="pin", minutes=Decimal(1)),
        DoStep("after", "Wipe it.", minutes=Decimal(1)),
        DoStep("behind", "Wipe it again.", needs=("set",), minutes=Decimal(1)),
    )
    bench = Bench(curing(*more))
    bench.lead_to("set")
    bench.hear("start timer")
    assert bench.hear("what may i do meanwhile") == "There is nothing to do meanwhile."


def test_the_offer_comes_back_at_the_end_of_the_wait_and_never_by_itself_in_a_step() -> None:
    bench = at("set")
    bench.hears("go to step fifteen")
    assert bench.wait(1900) == "Cure time is over. Say back to where I was."
    assert bench.session.view(bench.now)["step"]["id"] == "label"
    bench.hear("next")
    assert bench.session.view(bench.now)["step"]["id"] == "set"
    assert bench.facts("went_to")[-1]["by_itself"]


# A detour outlives whatever happens


def test_a_job_that_is_taken_up_again_knows_its_detour() -> None:
    bench = at("edges")
    bench.hears("go to step fifteen", "confirmed")
    said = bench.resume()
    assert said.startswith("A detour from step three. Say back to where I was.")
    assert bench.hear("back to where i was").startswith("Step three of seventeen.")
    assert bench.session.state.detour == ()


def test_whoever_takes_over_is_told_of_the_detour_and_hears_the_hazards_on_the_way_anew() -> None:
    bench = at("edges")
    bench.hears("go to step fifteen", "confirmed", "hand over", "confirmed")
    said = bench.hear("take over")
    assert "A detour from step three." in said
    assert "Twelve steps are open: three to fourteen." in said
    bench.hear("back to where i was")
    assert bench.hear("go to step fifteen").startswith("This is on the way. Danger. The cap is heavy.")


def test_closing_finds_what_was_jumped_over() -> None:
    bench = at("edges")
    bench.hears("go to step fifteen", "confirmed")
    assert "Still open." in bench.hear("finish job")
    bench.hears(REASON, "end note", "confirmed")
    (closed,) = bench.facts("closed")
    assert set(closed["open_steps"]) >= {"edges", "pin-in", "turned"}


def test_a_tightening_done_once_more_and_taken_back_is_not_left_behind_when_a_detour_ends() -> None:
    bench = at("pin-out")
    bench.hears("go to step eight", "next", "next", "count four")
    bench.hears("go back", "go back", "next", "next")  # the first pass once more, and past the second
    bench.hears("take that back", "confirmed")
    assert bench.session.view(bench.now)["step"]["id"] == "tight"
    bench.hears("take that back", "confirmed", "count four")
    stands, gone = bench.session.view(bench.now)["step"]["id"], bench.facts("went_to")[-1]
    assert stands == "tight" or "tight" in gone["stays_open"], "bolts are open behind, and nothing names them"
    assert [fact["place"] for fact in bench.facts("reopened")] == ["tight", "ring-in"]
    bench.lead_to_end()
    (closed,) = bench.facts("closed")
    assert "tight" not in closed["open_steps"]


def behind_a_reading_to_do_again() -> Bench:
    """All is done, extra work was granted late, and somebody went back from the last step to what they measured."""
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "yes", "reading point two", "next", "yes")
    bench.hears("extra work granted", "the customer", "by telephone", "confirmed", "go back", "go back two")
    return bench


def test_no_detour_leads_back_past_where_the_job_stops() -> None:
    bench = behind_a_reading_to_do_again()
    bench.hears("reading point zero five", "confirmed")
    assert bench.session.state.place == "screw-out"
    for words in ("back to where i was", "go to closing step one"):
        assert bench.hear(words) == "I do not go there. The job stops before it."
    assert bench.hear("next").startswith("The job stops here.")
    assert bench.session.state.place == "play:below:stop"
    bench.hears("skip this", REASON, "end note", "confirmed", "next")
    assert bench.session.state.place == "tools-back"


def test_no_detour_leads_back_into_a_branch_that_was_shut_meanwhile() -> None:
    bench = behind_a_reading_to_do_again()
    bench.hears("reading point zero five", "confirmed", "go back one", "reading point two")
    assert "play:below" not in bench.session.state.branches
    assert "screw out" not in bench.hear("back to where i was")
    assert bench.session.state.place == "tools-back"


def test_the_page_shows_where_back_leads() -> None:
    bench = at("edges")
    assert picture(bench.session.view(bench.now))["detour"] == ""
    bench.hears("go to step fifteen", "confirmed")
    assert picture(bench.session.view(bench.now))["detour"] == "from step 3. Say: back to where i was"
    bench.hear("back to where i was")
    assert picture(bench.session.view(bench.now))["detour"] == ""


# Nobody goes where it is wrong


@pytest.mark.parametrize(
    ("here", "name", "why", "first"),
    [
        ("edges", "go to step five", "lock_out", "pin-in"),
        ("edges", "go to counting", "lock_out", "pin-in"),
        ("edges", "go to step seventeen", "need", "turned"),
        ("ring-out", "go to step seven", "part_on", "cap-off"),
        ("seal-new", "go to step eight", "new_part", "seal-new"),
        ("cap-on", "go to step eleven", "part_off", "cap-on"),
        ("ring-in", "go to step eleven", "fasteners_out", "ring-in"),
        ("set", "go to step thirteen", "wait", "set"),
        ("pin-out", "go to step fourteen", "lock_in", "pin-out"),
    ],
)
def test_what_is_in_the_way_is_named_with_the_step_that_comes_first(here: str, name: str, why: str, first: str) -> None:
    bench = at(here)
    said = bench.hear(name)
    (gone,) = bench.facts("not_gone")[-1:]
    assert (gone["why"], gone["step"]) == (why, first), said
    assert said.startswith("I do not go there.")
    assert bench.session.view(bench.now)["step"]["id"] == here


def test_a_wait_that_was_not_begun_is_in_the_way_too() -> None:
    bench = at("cold")
    assert bench.hear("go to step three") == "I do not go there. Not over: cooling time. First step two."


def test_going_back_by_too_many_goes_nowhere() -> None:
    bench = at("level")
    assert "This is the start of the job." in bench.hear("go back ninety nine")
    assert bench.facts("went_to") == []


def test_a_step_that_is_done_can_be_looked_at_whatever_the_machine_is_like() -> None:
    bench = at("seal-new")
    assert bench.hear("go to step six").startswith("Danger. The cap is heavy.")
    assert bench.hear("back to where i was").startswith("Now: Refit. Step seven")


def test_a_chapter_is_called_by_its_name_and_two_of_one_name_are_the_first() -> None:
    twice = procedure(
        chapters=(
            Chapter("Look", (CheckStep("a", "Is it level?"),)),
            Chapter("Wipe", (DoStep("b", "Wipe it."), DoStep("c", "Wipe it again."))),
            Chapter("Wipe", (DoStep("d", "Wipe it once more."),)),
        )
    )
    bench = Bench(replace(twice))
    assert (
        bench.hear("go to wipe")
        == "One step stays open: one. Now: Wipe. Step two of four. Wipe it. Say next when it is done."
    )


def test_a_hazard_of_the_whole_job_that_is_read_again_is_not_gone_past() -> None:
    """Who goes back to it must confirm it, even on the way to a step that was done."""
    bench = Bench(every_kind())
    bench.lead_to("studs-out")
    bench.hears("go to step one", "go back one")
    assert bench.session.state.place == "safety:2"
    assert bench.hear("go to step one") == "First the preparation."
    assert bench.hear("back to where i was") == "First the preparation."
    assert bench.session.state.place == "safety:2"
    assert "Is the plate clamped?" in bench.hear("confirmed")
