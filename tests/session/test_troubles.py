"""Bolts that broke, are stripped, lost or wrong, and what was dropped: at any step, through breaks and hand-overs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from assistant.display.picture import picture
from assistant.facts.codes import Direction
from assistant.fastening.quantities import Angle, AngleUnit
from assistant.procedure.model import Group
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from assistant.session.intents import AT_ONCE
from assistant.session.table import Layer, all_rows
from tests.fakes.mechanic import REASON
from tests.session.bench import Bench
from tests.session.examples import bolts_only, every_kind, in_passes, newton_metres, procedure

HEAD = Group("head", "head bolts", "ten millimetre", (1, 2, 3, 4), single_use=True)
PAN = Group("pan", "pan bolts", "six millimetre", (1, 2, 3))


def _head_bolts() -> Bench:
    """Bolts of single use that get a torque and a further angle, and a pan whose bolts have the same numbers."""
    turned = Angle(Decimal(90), AngleUnit.DEGREE)
    stages = (
        Stage.single((Run("head", (1, 2, 3, 4), newton_metres(40)),)),
        Stage.single((Run("head", (1, 2, 3, 4), turned),), exception="All of them are turned."),
    )
    return Bench(
        procedure(
            CountStep("out", "Take out the pan bolts.", group="pan", direction=Direction.OUT),
            TightenStep("head-on", "Tighten the head.", stages=stages),
            TightenStep(
                "pan-on", "Tighten the pan.", stages=(Stage.single((Run("pan", (1, 3, 2), newton_metres(9)),)),)
            ),
            DoStep("wipe", "Wipe it."),
            groups=(HEAD, PAN),
            closing=(DoStep("away", "Put the tools away."),),
        )
    )


@pytest.mark.parametrize("name", [name for name, row in all_rows().items() if row.layer is Layer.WORK])
def test_it_may_be_said_in_every_state_of_the_work(name: str) -> None:
    assert {*AT_ONCE, "found", "bolt_replaced", "bolt_again", "bolt_left"} <= all_rows()[name].acts.keys()


# What has its angle


def _broken_behind_its_angle() -> Bench:
    bench = _head_bolts()
    bench.lead_to("wipe")
    bench.hears("bolt three broke", "no")
    bench.hear("confirmed")
    (held,) = bench.facts("bolt_held")
    assert (held["group"], held["bolt"], held["reopened"], held["worn"]) == ("head", 3, ["head-on"], True)
    assert [one["turn"] for one in held["undone"]] == [1, 2]
    return bench


def test_a_bolt_of_single_use_with_its_angle_that_is_in_again_must_be_new() -> None:
    bench = _broken_behind_its_angle()
    bench.hears("bolt three is back in", "confirmed")
    bench.hears("go back", "go back")
    while bench.session.view(bench.now)["step"]["id"] != "head-on":
        bench.hear("go back")
    # The same one may not be turned once more: it is asked for as any that is loosened.
    assert bench.phase == "renewing"
    bench.hear("confirmed")
    assert bench.session.view(bench.now)["tighten"]["current"] == [3]


def test_a_new_one_begins_with_the_first_stage_and_the_others_are_not_turned_again() -> None:
    bench = _broken_behind_its_angle()
    said = bench.hears("bolt three is replaced", "confirmed")
    assert said == "Bolt three is replaced. It begins with its first stage in step two."
    while bench.session.view(bench.now)["step"]["id"] != "head-on":
        bench.hear("go back")
    done = len(bench.facts("tightened"))
    bench.hears("next", "next")
    assert [(one["turn"], one["bolts"]) for one in bench.facts("tightened")[done:]] == [(1, [3]), (2, [3])]
    assert "head-on" in bench.session.state.done


# Which group


def test_the_group_at_hand_is_meant_first_and_no_leads_to_the_next_one() -> None:
    bench = _head_bolts()
    bench.lead_to("pan-on")
    assert bench.hear("bolt two is stripped") == "Bolt two of the pan bolts is stripped? Say confirmed, or no."
    assert bench.hear("no").startswith("I take it from the head bolts: bolt two is stripped?")
    assert bench.hear("no") == "Nothing has changed. Say it at the step of its group."
    assert bench.facts("bolt_held") == []
    bench.hears("bolt four is stripped", "cancel", "bolt nine broke")
    assert bench.facts("refused")[-1]["why"] == "no_such_bolt"


# Nothing is lost on the way


def test_it_is_taken_at_once_while_something_else_waits_to_be_confirmed() -> None:
    bench = _head_bolts()
    bench.lead_to("wipe")
    bench.hears("hand over", "dropped a bolt")
    assert [fact["number"] for fact in bench.facts("dropped")] == [1]
    bench.hears("hand over", "bolt one broke")
    assert bench.phase == "confirming"
    bench.hear("confirmed")
    assert len(bench.facts("bolt_held")) == 1


def test_silence_does_not_hold_a_bolt_and_says_so() -> None:
    bench = _head_bolts()
    bench.lead_to("head-on")
    bench.hear("bolt one broke")
    assert "Nothing has changed." in bench.wait(40)
    assert bench.facts("bolt_held") == []


def test_who_takes_the_job_over_hears_what_is_open_and_a_break_keeps_it() -> None:
    bench = _head_bolts()
    bench.lead_to("head-on")
    bench.hears("bolt one broke", "confirmed", "dropped a bolt")
    bench.resume()
    assert bench.session.state.held.keys() == {("head", 1)}
    brief = bench.hears("hand over", "confirmed", "take over")
    open_now = "Still open. The bolt dropped in step two is not found. Bolt one of the head bolts broke."
    assert open_now in brief
    assert open_now in bench.hear("what is left")


def test_a_break_in_the_middle_of_the_question_asks_it_again_only_when_it_is_said_again() -> None:
    bench = _head_bolts()
    bench.lead_to("head-on")
    bench.hear("bolt one broke")
    bench.resume()
    assert bench.phase != "confirming"
    assert bench.facts("cancelled")[-1]["why"] == "interrupted"


def test_a_job_that_is_closed_in_the_middle_keeps_what_is_open() -> None:
    bench = _head_bolts()
    bench.lead_to("head-on")
    bench.hears("bolt one is lost", "confirmed", "dropped a bolt", "finish job", REASON, "end note", "confirmed")
    (left,) = bench.facts("trouble_left")
    assert left == {"bolts": [{"group": "head", "bolt": 1, "what": "lost"}], "dropped": [1]}
    assert bench.facts("closed")[0]["reason"] == REASON


def test_what_was_dropped_is_asked_for_where_there_are_no_closing_steps() -> None:
    job = replace(every_kind(), closing=())
    bench = Bench(job)
    bench.lead_to("tighten")
    bench.hear("dropped a bolt")
    bench.lead_to("curing")
    while not bench.session.view(bench.now)["at_end"]:
        bench.lead_on()
    assert bench.spoken[-1].endswith("Did it come out again? Say yes or no.")
    bench.hears("next", "next")
    assert bench.session.view(bench.now)["at_end"]
    assert not bench.session.closed
    assert "Out again" in bench.hears("yes", "confirmed")


# The page


def test_the_page_shows_what_is_open_and_crosses_the_bolt_that_is_held() -> None:
    bench = _head_bolts()
    bench.lead_to("pan-on")
    bench.hears("bolt three broke", "confirmed", "dropped a bolt")
    now = picture(bench.session.view(bench.now))
    assert now["troubles"] == ["The bolt dropped in step three is not found.", "Bolt three of the pan bolts broke."]
    assert {one["number"]: one["state"] for one in now["tighten"]["bolts"]} == {1: "now", 2: "to do", 3: "held open"}
    bench.hears("next", "next")
    now = picture(bench.session.view(bench.now))
    assert now["headline"] == "Bolt 3: held open. The step is not done without it."
    assert now["value"] is None


def test_a_bolt_that_is_replaced_once_more_after_that_was_taken_back_gets_its_angle_once_more() -> None:
    bench = Bench(bolts_only())
    bench.lead_to("tighten")
    bench.hears("bolt fourteen is lost", "confirmed")
    while bench.phase != "held":
        bench.lead_on()
    put_in = ("bolt fourteen is replaced", "confirmed", "next", "next", "next")
    bench.hears(*put_in)
    while bench.phase != "held":
        bench.hears("take that back", "confirmed")
    bench.hears(*put_in)
    angles = [one for one in bench.facts("tightened") if one["way"] == "angle" and one["bolts"] == [14]]
    assert len(angles) == 2


def test_a_bolt_that_nothing_happened_to_after_all_comes_before_those_where_somebody_stands() -> None:
    """Its first pass is open again; the others were in a later one, which had been left out."""
    bench = Bench(in_passes())
    while not bench.session.view(bench.now)["at_end"]:
        at = bench.session.state.at_bolt.get("tighten")
        if at is not None and at.turn == 13 and not bench.facts("skipped"):
            bench.hears("skip this", REASON, "end note", "confirmed")
        bench.lead_on()
    bench.hears("bolt one is the wrong one", "confirmed", "go back")
    assert "Loosen them fully" in bench.hears("take that back", "confirmed")
    bench.hears("tighten again", "confirmed", "next")
    assert (bench.facts("tightened")[-1]["turn"], bench.facts("tightened")[-1]["bolts"]) == (1, [1])
