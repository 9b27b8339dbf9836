"""Procedures for these tests, built from the model. Values, names and the machine are invented: not for any vehicle."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from assistant.advice.thickness import Thicknesses, parse_thicknesses
from assistant.facts.codes import Direction, SignalWord, TakenWhen
from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.procedure.model import (
    Chapter,
    Group,
    Hazard,
    HazardScheme,
    HiddenBolt,
    Item,
    Limits,
    Person,
    Procedure,
    Step,
    Timer,
    TimerKind,
)
from assistant.procedure.rows import BlockRow, ShimStock, TableColumn
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.procedure.steps.tighten import Pass, Reach, Run, Stage, StagePurpose, TightenStep
from assistant.procedure.steps.wait import WaitStep


def newton_metres(value: int) -> Torque:
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def degrees(value: int) -> Angle:
    return Angle(Decimal(value), AngleUnit.DEGREE)


def hazard(word: SignalWord, name: str) -> Hazard:
    return Hazard(word, f"{name}.", "It can cut your fingers.", "Wear gloves.")


def procedure(*steps: Step, **more: Any) -> Procedure:
    """A procedure of one part with these steps; everything else is as small as it can be."""
    values: dict[str, Any] = {
        "id": "test-job",
        "title": "Test job",
        "revision": "1",
        "source": "Invented for tests",
        "machine": "Practice plate",
        "hazard_scheme": HazardScheme.ANSI,
        "book_time": None,
        "conditions": (),
        "persons": (),
        "support_equipment": (),
        "supplies": (),
        "spares": (),
        "safety": (),
        "groups": (),
        "timers": (),
        "chapters": (Chapter("Work", steps),),
        "closing": (),
        "sha256": "0" * 64,
    }
    return Procedure(**(values | more))


PLATE = Group(
    "plate", "plate bolts", "eight millimetre", tuple(range(1, 15)), hidden=(HiddenBolt(9, "behind the bracket"),)
)
COVER = Group("cover", "cover bolts", "six millimetre", tuple(range(15, 23)))
CROSSWISE = (15, 19, 17, 21, 16, 20, 18, 22)
"""An order with no runs in it: more than four things to say, so it is said in two breaths."""


def tightening(**more: Any) -> TightenStep:
    """Four stages: three of torque, in three runs of two groups, and one of a further angle."""
    stages = (
        Stage.single(
            (
                Run("plate", (1, 2, 3), newton_metres(10)),
                Run("plate", (4, 5, 6, 7, 8), newton_metres(10)),
                Run("plate", (9, 10, 11, 12, 13, 14), newton_metres(10)),
            )
        ),
        Stage.single(
            (
                Run("plate", (1, 2, 3), newton_metres(18)),
                Run("plate", (4, 5, 6, 7, 8), newton_metres(32)),
                Run("plate", (9, 10, 11, 12, 13, 14), newton_metres(32)),
            )
        ),
        Stage.single((Run("cover", CROSSWISE, newton_metres(15)),), exception="The plate bolts are at their torque."),
        Stage.single((Run("plate", tuple(range(1, 15)), degrees(60)),), exception="Only the plate bolts are turned."),
    )
    return TightenStep(**({"id": "tighten", "text": "Tighten the plate in four stages.", "stages": stages} | more))


TOOLS = """\
# Invented for these tests.
wrenches:
  - {id: little, name: little wrench, type: II A, unit: N·m, low: 5, high: 60, graduation: 0.5, lever: 400 mm,
     calibrated: 2026-12-01}
  - {id: pounds, name: pound wrench, type: II A, unit: lbf·ft, low: 5, high: 50, graduation: 0.5, lever: 400 mm,
     calibrated: 2026-12-01}
adapters:
  - {id: crowfoot, name: crowfoot, length: 50 mm}
gauges:
  - {id: gauge, name: angle gauge, graduation: 2°}
"""
"""A tool file; the crowfoot makes nine eighths of what is set: (400 + 50) / 400."""


def measured() -> Procedure:
    """Limits, a crowfoot, drag, strokes, loosening and doing again, a check, and bolts that are used only once."""
    crowfoot = Reach(Length(Decimal(50), LengthUnit.MILLIMETRE), degrees(0), "crowfoot")
    rim = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    end = Group("end", "end bolts", "ten millimetre", (5, 6), single_use=True)
    stages = (
        Stage.single((Run("rim", (1, 3, 2, 4), newton_metres(20), low=newton_metres(18), high=newton_metres(22)),)),
        Stage.single((Run("rim", (1, 3, 2, 4), None),), purpose=StagePurpose.LOOSEN, reseat="1"),
        Stage.single(
            (
                Run(
                    "rim",
                    (1, 3, 2, 4),
                    newton_metres(36),
                    low=newton_metres(34),
                    high=newton_metres(38),
                    adapter=crowfoot,
                ),
                Run("end", (5, 6), newton_metres(40), drag=newton_metres(5)),
            ),
        ),
        Stage.single((Run("end", (5, 6), degrees(90), swing=degrees(40)),), exception="Only the end bolts are turned."),
        Stage.single(
            (Run("rim", (1, 3, 2, 4), newton_metres(36), low=newton_metres(34), high=newton_metres(38)),),
            purpose=StagePurpose.CHECK,
            exception="Only the rim bolts are checked.",
        ),
    )
    return procedure(
        CheckStep("drag", "Measure the drag.", limits=Limits(Decimal("-2"), Decimal(12), "N·m")),
        TightenStep("tighten", "Tighten the flange.", stages=stages),
        groups=(rim, end),
    )


def shimmed() -> Procedure:
    """Clearances as found and as left, and between them the shims that are fitted: new ones are worked out."""
    found, left = (TableColumn("inlet", Limits(Decimal("0.18"), Decimal("0.24"), "mm"), when) for when in TakenWhen)
    fitted = TableColumn("inlet shim", Limits(Decimal(2), Decimal(3), "mm"), TakenWhen.FOUND, "inlet")
    sizes, box = parse_thicknesses("2.00 to 3.00 by 0.05 mm"), parse_thicknesses("2.45, 2.60 mm")
    assert isinstance(sizes, Thicknesses)
    assert isinstance(box, Thicknesses)
    rows = tuple(BlockRow(str(number)) for number in (1, 2, 3))
    stock = ShimStock(sizes, box)
    return procedure(
        MeasureStep("found", "Measure the clearances.", each="cylinder", rows=rows, columns=(found,)),
        MeasureStep("fitted", "Measure the shims.", each="cylinder", rows=rows, columns=(fitted,), shims=stock),
        MeasureStep("left", "Measure the clearances again.", each="cylinder", rows=rows, columns=(left,)),
    )


def tabled() -> Procedure:
    """Tables of readings: as they stand, as found and as left, and below zero."""
    clearances = (
        TableColumn("intake", Limits(Decimal("0.15"), Decimal("0.25"), "mm")),
        TableColumn("exhaust", Limits(Decimal("0.25"), Decimal("0.35"), "mm")),
    )
    pads = (
        TableColumn("inner", Limits(Decimal(3), None, "mm"), TakenWhen.FOUND),
        TableColumn("inner", Limits(Decimal(8), None, "mm"), TakenWhen.LEFT),
    )
    cylinders = tuple(BlockRow(str(number)) for number in (1, 2))
    return procedure(
        MeasureStep("clearances", "Measure the clearances.", each="cylinder", rows=cylinders, columns=clearances),
        MeasureStep("pads", "Measure the pads.", each="wheel", rows=(BlockRow("front left"),), columns=pads),
        MeasureStep(
            "toe",
            "Measure the toe.",
            each="side",
            rows=(BlockRow("left"), BlockRow("right")),
            columns=(TableColumn("toe", Limits(Decimal("-0.20"), Decimal("0.20"), "°")),),
            hazards=(hazard(SignalWord.CAUTION, "The wheels can turn"),),
        ),
    )


def in_passes() -> Procedure:
    """Stages of several passes: mixed kinds, equal ones, bolts turned together, tools of their own, and a reseat."""
    rim = Group("rim", "rim bolts", "eight millimetre", (1, 2, 3, 4))
    end = Group("end", "end bolts", "ten millimetre", (5, 6))
    all_rim = (1, 3, 2, 4)
    mixed = (
        Pass((Run("rim", all_rim, newton_metres(24), low=newton_metres(22), high=newton_metres(26)),)),
        Pass((Run("end", (6,), newton_metres(30), tool="pounds"), Run("end", (5,), newton_metres(30))), tool="little"),
        Pass((Run("rim", all_rim, degrees(30)),), repeat=3, tool="gauge"),
        Pass((Run("rim", (1, 3), degrees(20)), Run("end", (5, 6), degrees(20))), together=True),
    )
    again = Pass((Run("end", (6, 5), degrees(90)),), purpose=StagePurpose.LOOSEN, together=True)
    stages = (
        Stage.single((Run("rim", all_rim, newton_metres(12)), Run("end", (5, 6), newton_metres(15))), number="1"),
        Stage(mixed, number="2a", label="Main turn"),
        Stage((again,), number="2b", reseat="1", exception="Only the end bolts are loosened."),
        Stage.single((Run("end", (5, 6), degrees(40)),), number="3", exception="Only the end bolts are turned."),
    )
    return procedure(TightenStep("tighten", "Tighten the flange.", stages=stages), groups=(rim, end))


def bolts_only() -> Procedure:
    """The tightening alone."""
    return procedure(tightening(), groups=(PLATE, COVER))


def every_kind() -> Procedure:
    """A whole small job with every kind of step, hazards, timers, and a closing step."""
    small = Group(
        "small", "lid bolts", "five millimetre", (1, 2, 3, 4, 5, 6), hidden=(HiddenBolt(6, "under the hose"),)
    )
    studs = Group("studs", "end bolts", "seven millimetre", (7, 8), single_use=True, spare="stud")
    stages = (
        Stage.single(
            (Run("small", (1, 4, 2, 5, 3, 6), newton_metres(5)), Run("studs", (7, 8), newton_metres(30))), tool="wrench"
        ),
        Stage.single((Run("studs", (8, 7), degrees(60)),), exception="Only the end bolts are turned."),
    )
    return procedure(
        conditions=(
            "The plate is clamped.",
            "The bench is clear.",
            "The lamp is on.",
            "The floor is dry.",
            "It is cold.",
        ),
        persons=(Person("mechanic", 1),),
        support_equipment=(Item("wrench", "torque wrench"),),
        supplies=(Item("paste", "sealing paste", Decimal(2), "tubes"),),
        spares=(
            Item("stud", "end bolt", Decimal(2), single_use=True),
            Item("gasket", "gasket", Decimal(1), single_use=True),
        ),
        safety=(hazard(SignalWord.DANGER, "The plate is heavy"), hazard(SignalWord.NOTICE, "The face is soft")),
        groups=(small, studs),
        timers=(
            Timer("open", "paste open time", TimerKind.OPEN, 600),
            Timer("cure", "paste cure time", TimerKind.CURE, 1800),
        ),
        chapters=(
            Chapter(
                "Strip",
                (
                    CheckStep("clamped", "Is the plate clamped?"),
                    CountStep(
                        "small-out", "Take out the lid bolts.", group="small", direction=Direction.OUT, place="the tray"
                    ),
                    CountStep("studs-out", "Take out the end bolts.", group="studs", direction=Direction.OUT),
                    DoStep("lift", "Lift the lid.", hazards=(hazard(SignalWord.CAUTION, "The lid has sharp edges"),)),
                ),
            ),
            Chapter(
                "Refit",
                (
                    CheckStep("gap", "Measure the gap.", limits=Limits(Decimal("0.05"), Decimal("0.13"), "mm")),
                    FitStep("gasket-new", "Fit a new gasket.", spare="gasket"),
                    FitStep("studs-new", "Fit new end bolts.", spare="stud", quantity=2),
                    DoStep(
                        "paste",
                        "Put paste on the face.",
                        starts_timer="open",
                        hazards=(
                            hazard(SignalWord.WARNING, "The paste burns"),
                            hazard(SignalWord.CAUTION, "It smells"),
                        ),
                    ),
                    DoStep("join", "Put the lid on.", before_timer="open"),
                    CountStep("small-in", "Put in the lid bolts.", group="small", direction=Direction.IN),
                    TightenStep("tighten", "Tighten the lid.", tools=("wrench",), stages=stages, starts_timer="cure"),
                    WaitStep("curing", "Let the paste cure.", timer="cure"),
                ),
            ),
        ),
        closing=(
            CheckStep("rags", "Is a rag left in the machine?", expect=False),
            DoStep("tools", "Put the tools away."),
        ),
    )


def around() -> Procedure:
    """A job that is no straight line: two waits with work that needs them not, a lock, hazards on the way, needs."""
    ring = Group("ring", "ring bolts", "six millimetre", (1, 2, 3, 4))
    stages = (
        Stage.single((Run("ring", (1, 3, 2, 4), newton_metres(9)),)),
        Stage.single((Run("ring", (1, 3, 2, 4), degrees(45)),)),
    )
    return procedure(
        support_equipment=(Item("pin", "shaft pin"),),
        spares=(Item("seal", "seal ring", Decimal(1), single_use=True),),
        safety=(hazard(SignalWord.WARNING, "The shaft is heavy"),),
        groups=(ring,),
        timers=(
            Timer("cool", "cooling time", TimerKind.COOL, 900),
            Timer("open", "open time", TimerKind.OPEN, 600),
            Timer("cure", "cure time", TimerKind.CURE, 1800),
        ),
        chapters=(
            Chapter(
                "Look",
                (
                    CheckStep("level", "Is the housing level?"),
                    WaitStep("cold", "Let it cool.", timer="cool"),
                    DoStep("edges", "Wipe the edges.", hazards=(hazard(SignalWord.CAUTION, "The edges are sharp"),)),
                ),
            ),
            Chapter(
                "Strip",
                (
                    DoStep("pin-in", "Put in the shaft pin.", lock="pin"),
                    CountStep("ring-out", "Take out the ring bolts.", group="ring", direction=Direction.OUT),
                    DoStep("cap-off", "Take off the cap.", hazards=(hazard(SignalWord.DANGER, "The cap is heavy"),)),
                ),
            ),
            Chapter(
                "Refit",
                (
                    FitStep("seal-new", "Fit a new seal ring.", spare="seal"),
                    DoStep("bead", "Put sealant on the face.", starts_timer="open", minutes=Decimal(2)),
                    DoStep("cap-on", "Put the cap back on.", before_timer="open", minutes=Decimal(3)),
                    CountStep("ring-in", "Put in the ring bolts.", group="ring", direction=Direction.IN),
                    TightenStep("tight", "Tighten it.", stages=stages, against=("pin",), starts_timer="cure"),
                    WaitStep("set", "Let it cure.", timer="cure"),
                    DoStep("pin-out", "Take out the shaft pin.", unlock="pin"),
                    CheckStep("turned", "Does the shaft turn?", turns=True),
                ),
            ),
            Chapter(
                "Around it",
                (
                    DoStep("label", "Write the label.", needs=(), minutes=Decimal(4)),
                    CheckStep("hose", "Is the hose dry?", needs=("level",), minutes=Decimal(1)),
                    DoStep("wiped", "Wipe the housing.", needs=("turned",)),
                ),
            ),
        ),
        closing=(
            CheckStep("rags", "Is a rag left in the machine?", expect=False),
            DoStep("tools", "Put the tools away."),
        ),
    )
