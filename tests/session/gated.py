"""A procedure with gates, witnesses, an amount and a lock. Values and names are invented: not for any vehicle."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.codes import Direction, SignalWord
from assistant.procedure.amounts import Amount
from assistant.procedure.model import Group, Item, Limits, Person, Procedure
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Run, Stage, TightenStep
from tests.session.examples import hazard, newton_metres, procedure


def gated() -> Procedure:
    """A small job in which every kind of step that may be a gate is one."""
    plugs = Group("plugs", "drain plugs", "ten millimetre", (1, 2))
    limits = {"low": newton_metres(28), "high": newton_metres(32)}
    return procedure(
        DoStep("pin-in", "Push the crank pin in.", lock="crank-pin"),
        CheckStep("marks", "Do all marks line up?", gate=True, witness=True),
        CheckStep("gap", "Measure the gap.", limits=Limits(Decimal("0.5"), Decimal("1.5"), "mm"), gate=True),
        DoStep("pin-out", "Pull the crank pin out.", unlock="crank-pin", gate=True, witness=True),
        FitStep("seals", "Fit the new seals.", spare="seal", quantity=2, gate=True),
        CountStep("plugs-in", "Put in the drain plugs.", group="plugs", direction=Direction.IN, gate=True),
        TightenStep(
            "tighten", "Tighten the drain plugs.",
            stages=(Stage.single((Run("plugs", (1, 2), newton_metres(30), **limits),)),),
            gate=True, witness=True,
        ),
        DoStep("fill", "Fill in the gear oil.", supplies=("oil",), amount=Amount(Decimal("12"), "l")),
        DoStep("grease", "Grease the lip.", amount=Amount(Decimal("1.5"), "g"), gate=True,
               limits=Limits(Decimal(1), Decimal(2), "g")),
        DoStep("mark", "Put a colour mark on both plugs.", gate=True,
               hazards=(hazard(SignalWord.CAUTION, "The plugs are hot"),)),
        closing=(CheckStep("leaks", "Is everything dry?", witness=True),),
        persons=(Person("mechanic", 2),),
        support_equipment=(Item("crank-pin", "crank pin"),),
        supplies=(Item("oil", "gear oil", Decimal(12), "l"),),
        spares=(Item("seal", "seal ring", Decimal(2), single_use=True),),
        groups=(plugs,),
    )  # fmt: skip
