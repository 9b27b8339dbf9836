"""What is said before a stage about the tools in the hand: nothing suits, below the scale, overloaded, due."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from assistant.fastening.units import Length, LengthUnit
from assistant.procedure.model import Group, Reach, Run, Stage, TightenStep
from tests.session.bench import Bench
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
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage(runs),))
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
            "No tool here gives one hundred and forty newton metres. "
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
            "It has done five thousand of five thousand uses since its calibration",
        ),
        (f"wrenches: [{wrench(low=5)}]", 12, "is in the lowest fifth of the middle wrench"),
        ("gauges: [{id: g, name: gauge, graduation: 2°}]", 12, "There is no torque wrench in the tool box."),
    ],
)  # fmt: skip
def test_trouble_with_tools_is_said_before_the_first_bolt(tools: str, target: int, said: str) -> None:
    job = bench(tools, run(target))
    opening = job.spoken[-1]
    assert said in opening
    assert opening.index(said) < opening.index("Bolts one to four.")
    assert unfit_for_the_ear(opening[opening.index("Tighten the rim.") : opening.index(" Bolts one to four.")]) == ""
    chosen = job.facts("tools_chosen")[0]
    assert len(chosen["faults"]) + len(chosen["warnings"]) >= 1


def test_the_procedures_value_stays_when_nothing_suits() -> None:
    job = bench(f"wrenches: [{wrench()}]", run(140))
    assert "Bolts one to four. One hundred and forty newton metres." in job.spoken[-1]
    job.hear("next")
    fact = job.facts("run_tightened")[0]
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
    assert "Set fifty newton metres, with the crowfoot square." in job.spoken[-1]


def test_tools_are_not_changed_for_a_little_gain_within_a_stage() -> None:
    small = wrench(id="small", name="small wrench", low=5, high=50, step="0.5")
    large = wrench(id="large", name="large wrench", low=20, high=200)
    runs = [run(value, bolts=(bolt,)) for bolt, value in enumerate((38, 46, 38, 46), 1)]
    job = bench(f"wrenches:\n  - {small}\n  - {large}", *runs)
    assert job.facts("tools_chosen")[0]["changes"] == 0
    job.lead_to_end()
    assert len({fact["tool"] for fact in job.facts("run_tightened")}) == 1


def test_own_clicks_make_a_wrench_due_in_the_next_stage() -> None:
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage((run(30),)), Stage((run(50),))))
    job = Bench(procedure(step, groups=(group,)), tools=f"wrenches: [{wrench(uses=4997)}]")
    assert "not to be trusted" not in job.spoken[-1]
    assert "It has done five thousand and one of five thousand uses" in job.hear("next")


def test_clicks_of_other_jobs_count() -> None:
    group = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    step = TightenStep("tighten", "Tighten the rim.", stages=(Stage((run(30),)),))
    tools = f"wrenches: [{wrench(uses=4000)}]"
    job = Bench(procedure(step, groups=(group,)), tools=tools, tool_clicks={"mid": 1000})
    assert "It has done five thousand of five thousand uses" in job.spoken[-1]


def test_a_resumed_job_judges_the_tools_anew_and_may_get_others() -> None:
    job = bench(f"wrenches: [{wrench()}]", run(50))
    job.now += 400 * 86_400.0
    said = job.take(job.session.brief(job.now))
    assert "It was due for calibration on the first of December" in said
    other = wrench(id="new", name="new wrench", calibrated="2028-01-01")
    said = job.take(
        job.session.brief(job.now, {"tools_file": "t", "tools_yaml": f"wrenches: [{other}]", "tool_clicks": {}})
    )
    assert "Use the new wrench. Set fifty newton metres. Five zero." in said
    job.hear("next")
    assert job.facts("run_tightened")[0]["tool"] == "new"
    job.replayed()
