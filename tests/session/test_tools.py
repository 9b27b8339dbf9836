"""What is said before a stage about the tools in the hand: nothing suits, below the scale, overloaded, due."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest

from assistant.fastening.calibration import calibration_day
from assistant.fastening.quantities import Length, LengthUnit
from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Reach, Run, Stage, StagePurpose, TightenStep
from tests.session.bench import Bench, tool_file
from tests.session.ear import unfit_for_the_ear
from tests.session.examples import degrees, newton_metres, procedure

# The bench stands on 2027-01-15.
WRENCH = (
    "{{id: {id}, name: {name}, type: II A, unit: {unit}, low: {low}, high: {high}, graduation: {step}, lever: 400 mm, "
    "calibrated: {calibrated}, uses: {uses}}}"
)


def wrench(**fields: Any) -> str:
    """Return one wrench of a tool file."""
    usual = {
        "id": "mid",
        "name": "middle wrench",
        "unit": "N·m",
        "low": 20,
        "high": 100,
        "step": 1,
        "calibrated": "2026-12-01",
        "uses": 0,
    }
    return WRENCH.format(**usual | fields)


def bench(tools: str, *runs: Run, bolts: int = 4) -> Bench:
    """Return a job with one tightening of one stage, at its beginning."""
    group = Group("rim", "rim bolts", "eight millimetre", tuple(range(1, bolts + 1)))
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage.single(runs),))
    return Bench(procedure(step, groups=(group,)), tools=tools)


def run(value: int, **more: Any) -> Run:
    """Return a run over four bolts."""
    return Run("rim", more.pop("bolts", (1, 2, 3, 4)), newton_metres(value), **more)


@pytest.mark.parametrize(
    ("tools", "target", "said"),
    [
        (
            f"wrenches: [{wrench()}]",
            140,
            "One hundred and forty newton metres is above the scale of the middle wrench",
        ),
        (
            f"wrenches: [{wrench()}]",
            12,
            "Twelve newton metres is below the lowest marking of the middle wrench",
        ),
        (
            f"wrenches: [{wrench()}]\nmultipliers: [{{id: x, name: multiplier, torque_ratio: 4.5, gear_ratio: 5, "
            "rated_output: 300 N·m}]",
            400,
            "Four hundred newton metres is over the rating of the multiplier",
        ),
        (
            f"wrenches: [{wrench(calibrated='2026-01-10')}]",
            50,
            "The middle wrench is not to be trusted. It was due for calibration on the tenth of January",
        ),
        (
            f"wrenches: [{wrench(uses=5000)}]",
            50,
            "It has done five thousand uses since its calibration. Five thousand is the most.",
        ),
        (f"wrenches: [{wrench(low=5)}]", 12, "The middle wrench is less exact so low."),
        ("gauges: [{id: g, name: gauge, graduation: 2°}]", 12, "There is no torque wrench in the tool box."),
    ],
)  # fmt: skip
def test_the_value_and_the_tool_come_first_and_what_is_wrong_with_the_tools_behind_them(
    tools: str, target: int, said: str
) -> None:
    job = bench(tools, run(target))
    opening = job.spoken[-1]
    assert said in opening
    assert opening.index("newton metres.") < opening.index(said)
    assert opening.index("Bolts one to four.") < opening.index(said)
    assert unfit_for_the_ear(opening[opening.index("Tighten the rim.") :]) == ""
    chosen = job.facts("tools_chosen")[0]
    assert len(chosen["faults"]) + len(chosen["warnings"]) >= 1


def test_the_procedures_value_stays_when_nothing_suits() -> None:
    job = bench(f"wrenches: [{wrench()}]", run(140))
    assert (
        "No tool in the tool file gives this value. Bolts one to four. One hundred and forty newton metres."
        in job.spoken[-1]
    )
    job.hear("next")
    fact = job.facts("tightened")[0]
    assert (fact["tool"], fact["setting"], fact["clicks"]) == (None, None, 0)
    assert fact["target"]["value"] == "140"


def test_a_crowfoot_that_the_bay_has_not_is_missed_before_the_stage() -> None:
    reach = Reach(Length(Decimal(70), LengthUnit.MILLIMETRE), degrees(0), "crowfoot")
    job = bench(f"wrenches: [{wrench()}]\nadapters: [{{id: c, name: crowfoot, length: 50 mm}}]", run(50, adapter=reach))
    assert "There is no adapter of seventy millimetres in the tool box." in job.spoken[-1]


def test_a_crowfoot_stands_as_the_place_asks_and_square_changes_nothing() -> None:
    # US Navy NAVEDTRA 14008, page 50: at a right angle no correction is needed.
    reach = Reach(Length(Decimal(50), LengthUnit.MILLIMETRE), degrees(90), "crowfoot")
    job = bench(f"wrenches: [{wrench()}]\nadapters: [{{id: c, name: crowfoot, length: 50 mm}}]", run(50, adapter=reach))
    assert "Set fifty newton metres, the crowfoot square." in job.spoken[-1]


def test_tools_are_not_changed_for_a_little_gain_within_a_stage() -> None:
    small = wrench(id="small", name="small wrench", low=5, high=50, step="0.5")
    large = wrench(id="large", name="large wrench", low=20, high=200)
    runs = [run(value, bolts=(bolt,)) for bolt, value in enumerate((38, 46, 38, 46), 1)]
    job = bench(f"wrenches:\n  - {small}\n  - {large}", *runs)
    assert job.facts("tools_chosen")[0]["changes"] == 0
    job.lead_to_end()
    assert len({fact["tool"] for fact in job.facts("tightened")}) == 1


def test_own_clicks_make_a_wrench_due_in_the_next_stage() -> None:
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage.single((run(30),)), Stage.single((run(50),))))
    job = Bench(procedure(step, groups=(group,)), tools=f"wrenches: [{wrench(uses=4997)}]")
    assert "not to be trusted" not in job.spoken[-1]
    assert "It has done five thousand and one uses since its calibration. Five thousand is the most." in job.hear(
        "next"
    )


def test_clicks_of_other_jobs_count() -> None:
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage.single((run(30),)),))
    tools = f"wrenches: [{wrench(uses=4000)}]"
    job = Bench(procedure(step, groups=(group,)), tools=tools, clicks={"mid": 1000})
    assert "It has done five thousand uses since its calibration." in job.spoken[-1]


def test_a_resumed_job_judges_the_tools_anew_and_may_get_others() -> None:
    job = bench(f"wrenches: [{wrench()}]", run(50))
    job.now += 400 * 86_400.0
    said = job.resume()
    assert "It was due for calibration on the first of December" in said
    other = f"wrenches: [{wrench(id='new', name='new wrench', calibrated='2028-01-01')}]"
    said = job.resume(tools=tool_file(other))
    assert "Use the new wrench. Set fifty newton metres. Five zero." in said
    job.hear("next")
    assert job.facts("tightened")[0]["tool"] == "new"
    job.resume()


MULTIPLIED = (
    f"wrenches:\n  - {wrench(id='small', name='small wrench', low=5, high=50, step='0.5')}\n  - {wrench(low=40)}\n"
    "multipliers:\n  - {id: x, name: torque multiplier, torque_ratio: 4.5, gear_ratio: 5, rated_output: 900 N·m}\n"
    "gauges: [{id: g, name: gauge, graduation: 2°}]"
)


def through(*stages: Stage, tools: str = MULTIPLIED, named: tuple[str, ...] = ()) -> Bench:
    """Return a job with a tightening of these stages, at its beginning; its step names tools."""
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    step = TightenStep("tighten", "Tighten the rim.", stages=stages, tools=named)
    return Bench(procedure(step, groups=(group,)), tools=tools)


def test_a_multiplier_that_no_wrench_can_drive_is_left_out_aloud() -> None:
    # 20 / 4.5 = 4.4 N·m lies below the scale of the small wrench.
    job = through(Stage.single((run(20),), tool="x"))
    assert "Without the multiplier. Use the small wrench. Set twenty newton metres." in job.spoken[-1]
    assert job.facts("tools_chosen")[0]["first"] == [{"run": 1, "code": "without", "tool": "x"}]


def test_a_stage_with_a_wrench_of_its_own_in_a_step_with_a_multiplier_says_that_it_goes_without() -> None:
    job = through(Stage.single((run(63),), tool="mid"), named=("x",))
    assert "Without the multiplier. Use the middle wrench. Set sixty-three newton metres." in job.spoken[-1]
    job = through(Stage.single((run(63),)), named=("x",))
    assert "Set fourteen newton metres." in job.spoken[-1]


def test_an_angle_behind_a_torque_through_a_multiplier_goes_through_it_too() -> None:
    angle = Run("rim", (1, 2, 3, 4), degrees(40), swing=degrees(90))
    job = through(Stage.single((run(450),)), Stage.single((angle,), tool="g"))
    # No wrench reaches 450 N·m alone: 450 / 4.5 = 100. The handle turns 40 x 5 = 200 degrees, in strokes of at most 90.
    assert "Set one hundred newton metres." in job.spoken[-1]
    said = job.hear("next")
    assert "Forty degrees at the bolt. Two hundred degrees at the handle." in said
    assert "Four strokes of fifty degrees." in said
    job.hear("next")
    assert job.facts("tightened")[-1]["multiplier"] == "x"


def test_a_further_angle_that_is_done_is_not_put_down_again() -> None:
    job = through(
        Stage.single((run(20),)), Stage.single((Run("rim", (1, 2), degrees(60)), Run("rim", (3, 4), degrees(60))))
    )
    job.hears("next", "next")
    assert job.hear("go back").startswith("Done before. Turning again would overstretch the bolts.")
    job.hear("next")
    assert [fact["repeated"] for fact in job.facts("tightened")] == [False, False]
    job.resume()


def test_numbers_are_rounded_in_every_unit_that_is_asked_for() -> None:
    job = through(Stage.single((run(63),), tool="x"), Stage.single((run(450),)), Stage.single((run(39),)))
    for unit in ("use foot pounds", "use inch pounds", "in pound inches", "use newton metres"):
        for question in (unit, "what value", "which tool", "repeat stage"):
            said = job.hear(question)
            assert not re.search(r"point( (zero|one|two|three|four|five|six|seven|eight|nine)){3}", said), said
            assert unfit_for_the_ear(said) == ""
        job.hear("next")


def test_the_day_of_a_calibration_is_counted_in_one_time_zone() -> None:
    # 2027-01-15 08:00 UTC is the 14th in places west of UTC-8: the wrench is due there, here and in the record alike.
    assert calibration_day(1_800_000_000_000).isoformat() == "2027-01-15"
    job = bench(f"wrenches: [{wrench(calibrated='2026-01-15')}]", run(50))
    assert "It was due for calibration on the fifteenth of January" in job.spoken[-1]


def test_a_stage_that_loosens_lets_a_further_angle_be_done_again() -> None:
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    angle = Run("rim", (1, 2, 3, 4), degrees(60))
    seat = TightenStep("seat", "Seat the rim.", stages=(Stage.single((run(20),)), Stage.single((angle,))))
    slacken = TightenStep("slacken", "Slacken the rim.", stages=(Stage.single((angle,), purpose=StagePurpose.LOOSEN),))
    job = Bench(procedure(seat, slacken, groups=(group,)), tools=MULTIPLIED)
    job.hears("next", "next")
    assert job.hears("go back", "go back").startswith("Done before.")
    job.hears("next", "next")
    job.hears("go back", "go back", "go back")  # through the slackening to the end of the step before
    assert job.hear("go back").startswith("Stage two of two. Use the gauge. Bolts one to four.")
    job.resume()
