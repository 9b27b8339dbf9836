"""What a record calls open: a value out of limits goes once its bolt begins again, whatever was accepted before."""

from decimal import Decimal

import pytest

from assistant.facts import Bounds, Fact, Quantity
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.codes import Side
from assistant.facts.kinds.tighten import BoltAgain, BoltReplaced, BoltsLoosened, BoltsTightened, OutOfLimits
from assistant.report.record.open import open_things
from assistant.report.record.printing import Names
from tests.jobs import bare, kept

PASS = {"step": "rim-tight", "stage": 1, "turn": 1, "group": "rim"}
SEVEN = Quantity(Decimal(7), "N·m")
OFF = OutOfLimits(**PASS, run=1, bolt=2, reading=SEVEN, limits=Bounds(high=Decimal(6)), verdict=Side.ABOVE)
AGREED = Deviated(
    **PASS, run=1, bolts=(2,), what=DeviationWhat.BOLT_READING, reading=SEVEN, reason="agreed"
)  # fmt: skip
TIGHT = BoltsTightened(
    **PASS, run=1, bolts=(2,), way="torque", target=Quantity(Decimal(5), "N·m"), limits=Bounds(high=Decimal(6)),
    reading=SEVEN, verdict=Side.ABOVE,
)  # fmt: skip


def told(*later: Fact) -> list[str]:
    """Return what is open after bolt two was read too high, that was accepted, and ``later`` happened to it."""
    _, entries = kept([bare(), OFF, AGREED, TIGHT, *later], 1)
    found = open_things(Names(None), entries, preparation=(), steps=(), bolts=(), groups=(), stopwatches=())
    return [one.what for one in found if "LIMITS" in one.what]


def test_a_value_that_was_accepted_stays_open():
    assert told() == ["rim 2, stage 1: 7 N·m is ABOVE LIMITS"]


@pytest.mark.parametrize(
    "fact",
    [
        BoltAgain(**PASS, run=1, bolt=2),
        BoltReplaced(**PASS, bolts=(2,), undone=(), reopened=()),
        BoltsLoosened(**PASS, bolts=(2,), undone=(), reopened=()),
    ],
    ids=lambda fact: fact.KIND,
)
def test_the_value_of_a_bolt_that_begins_again_is_not_open(fact):
    assert told(fact) == []
