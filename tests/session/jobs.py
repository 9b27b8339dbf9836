"""Procedures that the tests of the conversation play: invented values, not for use on a vehicle."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.codes import Direction, SignalWord
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
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
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from assistant.procedure.steps.wait import WaitStep

HOT = Hazard(SignalWord.WARNING, "The pump is hot.", "It can burn your hands.", "Let it cool down first.")
EDGE = Hazard(SignalWord.CAUTION, "The cover has sharp edges.", "It can cut you.", "Wear your gloves.")
HEAVY = Hazard(SignalWord.DANGER, "The stand can tip over.", "It can crush you.", "Lock its feet.")


def newton_metres(value: int) -> Torque:
    """Return a torque [N·m]."""
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def degrees(value: int) -> Angle:
    """Return an angle [°]."""
    return Angle(Decimal(value), AngleUnit.DEGREE)


COVER = Group(
    "cover", "cover bolts", "eight millimetre", tuple(range(1, 15)), hidden=(HiddenBolt(10, "behind the pipe"),)
)
CAP = Group("cap", "cap bolts", "ten millimetre", (1, 2, 3), single_use=True, spare="cap-bolt")

TIGHTEN_COVER = TightenStep(
    "tighten-cover",
    "Tighten the cover bolts.",
    before_timer="sealant",
    tools=("wrench",),
    stages=(
        Stage.single((Run("cover", tuple(range(1, 15)), newton_metres(12)),), tool="wrench"),
        Stage.single(
            (
                Run("cover", (1, 2, 3), newton_metres(18)),
                Run("cover", (4, 5, 6, 7, 8), newton_metres(32)),
                Run("cover", (9, 10, 11, 12, 13, 14), newton_metres(32)),
            )
        ),
        Stage.single((Run("cover", (1, 8, 5, 12, 3, 10, 7, 14), newton_metres(45)),), exception="the long ones only"),
        Stage.single((Run("cover", (1, 2, 3, 4), degrees(60)),), exception="the long ones only"),
    ),
)

STEPS_OUT: tuple[Step, ...] = (
    DoStep("cool", "Let the pump cool down.", hazards=(HOT,), tools=("wrench",), info="It takes some time."),
    CheckStep("cold", "Is the pump cold to the hand?"),
    CountStep(
        "cover-out",
        "Take out the cover bolts and count them.",
        group="cover",
        direction=Direction.OUT,
        place="the tray",
    ),
    CountStep("cap-out", "Take out the cap bolts and count them.", hazards=(EDGE, HOT), group="cap"),
)
STEPS_IN: tuple[Step, ...] = (
    CheckStep("wear", "Measure the wear of the cover.", limits=Limits(Decimal("0.05"), Decimal("13"), "mm")),
    FitStep("new-caps", "Fit new cap bolts.", spare="cap-bolt", quantity=3),
    DoStep("seal", "Put sealant on the cover.", starts_timer="sealant"),
    CountStep("cover-in", "Put in the cover bolts and count them.", group="cover", direction=Direction.IN),
    CountStep("cap-in", "Put in the cap bolts and count them.", group="cap", direction=Direction.IN),
    TIGHTEN_COVER,
    WaitStep("cure", "Let the sealant cure.", timer="cure"),
)


def pump(*, steps_out: tuple[Step, ...] = STEPS_OUT, steps_in: tuple[Step, ...] = STEPS_IN) -> Procedure:
    """Return a job with every kind of step."""
    return Procedure(
        id="pump-cover",
        title="Pump cover",
        revision="1",
        source="Invented for the tests",
        machine="A pump on a stand",
        hazard_scheme=HazardScheme.ANSI,
        book_time=None,
        conditions=("The power is off.",),
        persons=(Person("mechanic", 1),),
        support_equipment=(Item("wrench", "torque wrench"), *(Item(f"tool{n}", f"tool {n}") for n in range(5))),
        supplies=(Item("sealant", "sealant"),),
        spares=(Item("cap-bolt", "cap bolt", quantity=Decimal(3), single_use=True),),
        safety=(HEAVY,),
        groups=(COVER, CAP),
        timers=(
            Timer("sealant", "sealant open time", TimerKind.OPEN, 600),
            Timer("cure", "cure", TimerKind.CURE, 1800),
        ),
        chapters=(Chapter("Strip", steps_out), Chapter("Refit", steps_in)),
        closing=(CheckStep("tools-back", "Are all tools back?"), CheckStep("leaks", "Does it leak?", expect=False)),
    )
