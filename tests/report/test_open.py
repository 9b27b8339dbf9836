"""What a record calls open: a value out of limits goes once its bolt begins again, whatever was accepted before."""

import pytest

from assistant.journal.port import Entry
from assistant.report.record.open import open_items

BOLT = {"step": "rim-tight", "stage": 1, "turn": 1, "group": "rim", "bolts": [2]}
OFF = BOLT | {"reading": {"value": "7", "unit": "N·m"}, "verdict": "above"}


def told(*later: str) -> list[str]:
    """Return what is open after bolt two was read too high, that was accepted, and ``later`` happened to it."""
    facts = [("out_of_limits", OFF), ("deviation", BOLT | {"what": "bolt_reading", "reason": "agreed"})]
    facts += [("bolt_tightened", OFF), *((kind, BOLT) for kind in later)]
    entries = [Entry(seq, 1000 * seq, kind, data, "", "") for seq, (kind, data) in enumerate(facts, 1)]
    found = open_items(None, entries, preparation=(), steps=(), bolts=(), groups=(), stopwatches=())
    return [one.what for one in found if "LIMITS" in one.what]


def test_a_value_that_was_accepted_stays_open():
    assert told() == ["rim 2, stage 1: 7 N·m is ABOVE LIMITS"]


@pytest.mark.parametrize("kind", ["bolt_again", "bolt_replaced", "bolts_loosened"])
def test_the_value_of_a_bolt_that_begins_again_is_not_open(kind):
    assert told(kind) == []
