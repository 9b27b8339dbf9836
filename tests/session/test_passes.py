"""Passes of a stage: taken up in the middle, with a tool for a run, and through a multiplier."""

from __future__ import annotations

from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Pass, Run, Stage, TightenStep
from tests.procedure.test_tables import TOOLS
from tests.session.bench import Bench
from tests.session.examples import degrees, in_passes, newton_metres, procedure

RIM = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
ALL = (1, 3, 2, 4)
ARM = "Rest its arm on a solid stop."


def through(*passes: Pass) -> Bench:
    """Return a job at a step with one stage of these passes, behind a stage with a plain torque."""
    seat = Stage.single((Run("rim", ALL, newton_metres(40)),), tool="large-wrench")
    step = TightenStep("tighten", "Tighten the rim.", stages=(seat, Stage(passes)))
    return Bench(procedure(step, groups=(RIM,)), tools=TOOLS)


def test_a_job_is_taken_up_in_the_middle_of_a_repeated_pass_with_all_that_must_be_known() -> None:
    bench = Bench(in_passes())
    said = bench.lead_to("tighten")
    while "Second of three." not in said:
        said = bench.hear("next")
    again = bench.resume()
    assert "main turn, pass three, second of three" in again.lower()
    assert "thirty degrees" in again
    assert "Third of three." in bench.hear("next")


def test_the_arm_of_a_multiplier_is_told_once_in_a_stage_and_the_handle_at_each_value() -> None:
    turned = Pass((Run("rim", ALL, degrees(30), swing=degrees(60)),), tool="multiplier")
    more = Pass((Run("rim", ALL, degrees(24)),), tool="multiplier")
    bench = through(turned, more)
    bench.lead_to("tighten")
    first, second = bench.hear("next"), bench.hear("next")
    # The gears of the tool file are five: 30 and 24 degrees at the bolt are 150 and 120 at the handle.
    assert first.count(ARM) == 1
    assert "One hundred and fifty degrees at the handle." in first
    assert "Three strokes of fifty degrees." in first
    assert ARM not in second
    assert "One hundred and twenty degrees at the handle." in second


def test_a_pass_with_a_gauge_of_its_own_is_turned_without_a_multiplier_that_its_torque_did_not_have() -> None:
    step = TightenStep(
        "tighten", "Tighten the rim.", tools=("multiplier",), stages=(
            Stage.single((Run("rim", ALL, newton_metres(40)),), tool="large-wrench"),
            Stage.single((Run("rim", ALL, degrees(35)),), tool="gauge"),
        ),
    )  # fmt: skip
    bench = Bench(procedure(step, groups=(RIM,)), tools=TOOLS)
    bench.lead_to("tighten")
    said = bench.hear("next")
    assert "A further thirty-five degrees." in said
    assert "handle" not in said


def test_each_run_of_a_pass_has_its_own_tool() -> None:
    bench = through(Pass((Run("rim", (1, 3), newton_metres(45)), Run("rim", (2, 4), newton_metres(38), tool="wrench"))))
    bench.lead_to("tighten")
    bench.hear("next")
    assert "Use the torque wrench. Set thirty-eight newton metres." in bench.hear("next")


def test_bolts_that_are_turned_together_are_loosened_together_when_they_are_taken_back_also_bolt_by_bolt() -> None:
    bench = Bench(in_passes())
    said = bench.lead_to("tighten")
    while "Bolts five and six, at the same time." not in said:
        said = bench.hear("next")
    bench.hears("take that back", "confirmed")
    said = bench.hear("bolt by bolt")
    assert "Bolts one and three" in said
    assert "bolts one and three are loose" in bench.hear("tighten again")
    assert "Stage one." in bench.hear("confirmed")
    while "at the same time" not in said:
        said = bench.hear("next")
    assert "Bolts one and three, at the same time." in said


def test_a_bolt_that_is_held_open_is_not_loosened_with_its_partner_whose_angle_was_taken_back() -> None:
    bench = Bench(in_passes())
    bench.lead_to("tighten")
    bench.hears("bolt five is lost", "confirmed")
    for _ in range(200):
        if bench.facts("tightened") and bench.facts("tightened")[-1]["turn"] == 8:  # the pass that loosens both
            break
        bench.lead_on()
    bench.hears("take that back", "confirmed", "next")
    bench.hears(*["confirmed"] * (bench.phase == "confirming"))
    assert {bolt for one in bench.facts("tightened", "bolts_loosened") for bolt in one["bolts"]} == {1, 2, 3, 4, 6}
