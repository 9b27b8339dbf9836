"""What good files mean: the model holds what the author wrote, no more and no less."""

import dataclasses
import hashlib
import re
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.facts.codes import Direction, SignalWord
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.procedure.model import Group, Hazard, HazardScheme, Item, Limits, Person, TimerKind
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Run, Stage, StagePurpose, TightenStep
from assistant.procedure.steps.wait import WaitStep

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "tests" / "procedure" / "good" / "bench-check.yaml"
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))


def demo(name):
    reading = read_procedure(ROOT / "procedures" / f"{name}.yaml")
    assert reading.findings == ()
    return reading.procedure


def test_the_smallest_file_is_read_value_for_value():
    reading = read_procedure(BENCH)
    assert reading.findings == ()
    it = reading.procedure
    assert (it.id, it.title, it.revision, it.machine) == (
        "bench-check",
        "Bench check",
        "1",
        "Practice plate on the bench",
    )
    assert (it.hazard_scheme, it.book_time) == (HazardScheme.ANSI, None)
    assert it.conditions == ("The plate is clamped to the bench.",)
    assert it.persons == (Person("mechanic", 1, line=13),)
    assert it.support_equipment == (Item("wrench", "torque wrench", line=15),)
    assert it.spares == (Item("gasket", "plate gasket", Decimal(1), single_use=True, line=18),)
    assert (it.supplies, it.safety, it.timers) == ((), (), ())
    assert it.groups == (Group("plate", "plate bolts", "eight millimetre", (1, 2, 3, 4), line=21),)
    assert [(part.name, len(part.steps), part.line) for part in it.chapters] == [("Strip", 2, 23), ("Refit", 4, 27)]
    edges = Hazard(
        SignalWord.CAUTION, "The plate has sharp edges.", "It can cut your fingers.", "Hold it by its handles.", line=33
    )
    order = (1, 3, 2, 4)
    low, high = Torque(Decimal(5), TorqueUnit.NEWTON_METRE), Torque(Decimal(12), TorqueUnit.NEWTON_METRE)
    stages = (
        Stage.single((Run("plate", order, low, line=39),), tool="wrench", line=39),
        Stage.single((Run("plate", order, high, line=40),), tool="wrench", line=40),
    )
    assert it.steps == (
        CheckStep("look", "Is the plate clamped to the bench?", line=25),
        CountStep(
            "bolts-out",
            "Take out the plate bolts and count them.",
            group="plate",
            direction=Direction.OUT,
            place="the tray",
            line=26,
        ),
        FitStep("new-gasket", "Fit a new plate gasket.", spare="gasket", quantity=1, line=29),
        DoStep("place-plate", "Put the plate on the gasket.", hazards=(edges,), line=30),
        CountStep(
            "bolts-in", "Put in the plate bolts by hand and count them.", group="plate", direction=Direction.IN, line=34
        ),
        TightenStep("tighten-plate", "Tighten the plate bolts crosswise.", tools=("wrench",), stages=stages, line=35),
    )
    assert it.closing == (CheckStep("tools-back", "Are all the tools back in their places?", line=42),)


def test_the_hash_is_that_of_the_bytes_and_the_bytes_are_kept():
    data = BENCH.read_bytes()
    reading = read_text(data, "from the journal")
    assert reading.data == data
    assert reading.procedure.sha256 == hashlib.sha256(data).hexdigest()
    assert reading.procedure == read_procedure(BENCH).procedure


def variant(old: str, new: str):
    text = BENCH.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    reading = read_text(text.replace(old, new).encode(), "x")
    assert reading.errors == ()
    return reading.procedure


@pytest.mark.parametrize("written", ["1.10", "0x10", "1:30", "2026-03-01", "yes", "010", "'7'", "null hypothesis"])
def test_a_text_stays_as_it_was_written_whatever_yaml_makes_of_it(written):
    assert variant("revision: 1\n", f"revision: {written}\n").revision == written.strip("'")


@pytest.mark.parametrize(
    ("written", "bolts"),
    [
        ("1-4", (1, 2, 3, 4)),
        ("4-1", (4, 3, 2, 1)),
        ('"3, 1-2, 4"', (3, 1, 2, 4)),
        ("[2-4, 1]", (2, 3, 4, 1)),
        ("all", (1, 2, 3, 4)),
    ],
)
def test_bolts_of_a_run_keep_the_order_that_was_written(written, bolts):
    old = "{torque: 5 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}"
    it = variant(old, old.replace("[1, 3, 2, 4]", written))
    assert it.steps[-1].stages[0].runs[0].bolts == bolts


@pytest.mark.parametrize(
    ("written", "limits"),
    [
        ("0.20 to 0.30 mm", Limits(Decimal("0.20"), Decimal("0.30"), "mm")),
        ("at least 2 bar", Limits(Decimal(2), None, "bar")),
        ("at most 90 degC", Limits(None, Decimal(90), "°C")),
    ],
)
def test_limits(written, limits):
    it = variant('check: "Is the plate clamped to the bench?"', f"check: Measure it., limits: {written}")
    assert it.steps[0].limits == limits


@pytest.mark.parametrize("word", ["no", "No", "false"])
def test_the_right_answer_of_a_check_can_be_no(word):
    assert variant("look, check", f"look, answer: {word}, check").steps[0].expect is False


@pytest.mark.parametrize(
    ("written", "seconds"),
    [("90 s", 90), ("10 min", 600), ("1.5 h", 5400), ("1 h 30 min", 5400), ("24 h", 86400), ("2 days", 172800)],
)
def test_times(written, seconds):
    it = variant("chapters:\n", f"timers:\n  - {{id: dry, name: drying time, cure: {written}}}\nchapters:\n")
    assert it.timers[0].seconds == seconds


def test_hazards_are_read_most_severe_first_and_equals_in_the_order_of_the_file():
    hazards = [
        f"{word}: {word} {i}., consequence: C., avoid: A."
        for i, word in enumerate(["notice", "caution", "danger", "warning", "danger"])
    ]
    it = variant("safety: []", "safety:\n" + "".join(f"    - {{{hazard}}}\n" for hazard in hazards).rstrip())
    assert [hazard.hazard for hazard in it.safety] == [
        "danger 2.",
        "danger 4.",
        "warning 3.",
        "caution 1.",
        "notice 0.",
    ]


def test_an_angle_of_a_run_is_taken_before_that_of_its_stage():
    old = "{torque: 12 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}"
    new = "{angle: 90°, runs: [{group: plate, bolts: [1, 3]}, {group: plate, bolts: [2, 4], angle: 1/8 turn}]}"
    stage = variant(old, new).steps[-1].stages[1]
    assert stage.passes[0].is_angle
    assert [run.target for run in stage.runs] == [
        Angle(Decimal(90), AngleUnit.DEGREE),
        Angle(Decimal(45), AngleUnit.DEGREE),
    ]


@pytest.mark.parametrize("path", [*DEMOS, BENCH], ids=lambda path: path.stem)
def test_a_demo_says_first_that_its_values_are_invented_and_speaks_for_the_ear(path):
    """At most 20 words in a procedural sentence: ASD-STE100. No digits in texts: a synthesiser would spell them."""
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert "values" in first
    assert "invented" in first
    assert "not use it on a vehicle" in first or "Not for use on a vehicle" in first
    reading = read_procedure(path)
    assert reading.findings == ()
    it = reading.procedure
    spoken = [step.text for step in (*it.steps, *it.closing)] + [step.info for step in it.steps if step.info]
    hazards = [*it.safety, *(hazard for step in (*it.steps, *it.closing) for hazard in step.hazards)]
    spoken += [text for hazard in hazards for text in (hazard.hazard, hazard.consequence, hazard.avoid)]
    for text in spoken:
        assert re.fullmatch(r"[A-Z][A-Za-z ,]+[.?]", text), text
        assert len(text.split()) <= 20, text


def test_the_long_demo_has_what_a_whole_job_needs():
    it = demo("hub-drive-reseal")
    every = (*it.steps, *it.closing)
    assert len(it.steps) >= 60
    cover = next(step for step in it.steps if step.id == "cover-tight")
    groups = {group.id: group for group in it.groups}
    names = {run.group for stage in cover.stages for run in stage.runs}
    assert sum(len(groups[name].bolts) for name in names) == 11
    assert len({groups[name].size for name in names}) == 2
    assert [one.purpose for stage in cover.stages for one in stage.passes] == [StagePurpose.TIGHTEN] * 3 + [
        StagePurpose.CHECK
    ]
    assert all(len({run.target for run in stage.runs}) == 2 for stage in cover.stages)
    assert {hidden.bolt for group in it.groups for hidden in group.hidden} == {7, 11}
    assert [(step.lock, step.unlock) for step in it.steps if step.lock or step.unlock] == [
        ("hub-pin", None), (None, "hub-pin")
    ]  # fmt: skip
    assert [step.against for step in it.steps if step.against] == [("hub-pin",)]
    angled = [step for step in it.steps if isinstance(step, TightenStep) and step.stages[-1].passes[-1].is_angle]
    assert angled
    assert all(not step.stages[0].passes[0].is_angle for step in angled)
    assert all(groups[run.group].single_use for step in angled for run in step.stages[-1].runs)
    order = {step.id: place for place, step in enumerate(every)}
    starts = next(step for step in every if step.starts_timer == "sealant-open")
    ends = next(step for step in every if step.before_timer == "sealant-open")
    assert order[starts.id] < order[ends.id]
    assert {timer.kind for timer in it.timers} == set(TimerKind)
    words = {hazard.word for step in every for hazard in step.hazards}
    assert words == set(SignalWord)
    kinds = {type(step) for step in every}
    assert kinds == {DoStep, CheckStep, CountStep, TightenStep, WaitStep, FitStep}
    assert any(isinstance(step, CheckStep) and step.limits for step in every)
    assert all(step.place for step in every if isinstance(step, CountStep) and step.direction is Direction.OUT)


def test_the_short_demo_has_each_kind_of_step_and_a_short_wait():
    it = demo("coolant-pump-cover")
    assert 12 <= len(it.steps) + len(it.closing) <= 16
    assert {type(step) for step in it.steps} == {DoStep, CheckStep, CountStep, TightenStep, WaitStep, FitStep}
    tighten = next(step for step in it.steps if isinstance(step, TightenStep))
    assert [stage.passes[0].is_angle for stage in tighten.stages] == [False, False, True]
    assert max(timer.seconds for timer in it.timers) <= 30


def test_a_procedure_cannot_be_changed_after_it_was_read():
    with pytest.raises(dataclasses.FrozenInstanceError):
        demo("coolant-pump-cover").title = "Another"
