"""Slips of the keyboard, one at a time, in a copy of the long demo: each is found, by its own rule and no other."""

import re
from pathlib import Path

import pytest

from assistant.procedure.format.reader import read_text

TEXT = (Path(__file__).parents[2] / "procedures" / "hub-drive-reseal.yaml").read_text("utf-8")
# The approval is for other content as soon as anything is changed; that is tested by itself.
TEXT = TEXT[: TEXT.index("\napproval:") + 1]


def without_step(name):
    """Return the demo without the step ``name``, which may have several lines."""
    text, count = re.subn(rf"^( *)- (?:\{{id: {name},.*\}}|id: {name}\n(?:\1  .*\n)+)\n?", "", TEXT, flags=re.MULTILINE)
    assert count == 1, name
    return text


def with_slip(good, bad, place=0):
    """Return the demo with ``bad`` instead of the ``place``-th ``good``."""
    starts = [match.start() for match in re.finditer(re.escape(good), TEXT)]
    assert len(starts) > place, good
    at = starts[place]
    return TEXT[:at] + bad + TEXT[at + len(good) :]


def without(pattern):
    """Return the demo without what ``pattern`` matches."""
    text, count = re.subn(pattern, "", TEXT, flags=re.DOTALL)
    assert count == 1, pattern
    return text


SLIPS = {
    "a unit that is another one": (with_slip("torque: 15 N·m", "torque: 15 nm"), "unit"),
    "a unit that was left out": (with_slip("open: 12 min", "open: 12"), "unit"),
    "a decimal point that slipped": (with_slip("torque: 30 N·m", "torque: 3.0 N·m"), "programme-adds-up stage-jumps"),
    "a zero too many": (with_slip("bolts: 1}]", "bolts: 10}]", 0), "bolts-in-group every-bolt-once"),
    "a bolt twice": (with_slip('"1, 5, 9, 4, 8, 3, 7, 2, 6"', '"1, 5, 9, 4, 8, 3, 7, 2, 2"'), "bolt-list"),
    "a bolt left out": (
        with_slip("{group: lock-plate, bolts: 12-14}", "{group: lock-plate, bolts: 12-13}", 1),
        "every-bolt-once",
    ),
    "a refit that is missing": (without_step("sensor-on"), "removed-is-refitted"),
    "a tap that stays open": (
        with_slip("do: Push the oil drain pan", "do: Open the oil tap over the drain pan"),
        "opened-is-shut",
    ),
    "bolts that are not counted in": (without_step("fitted-in"), "counts-match"),
    "a reference to a tool that is not there": (with_slip("tools: [wedge]", "tools: [wedg]"), "references"),
    "an id that was given before": (with_slip("id: sensor-on", "id: sensor-off"), "unique-ids"),
    "a key with a slip in it": (with_slip("consequence:", "consequense:"), "unknown-key missing-key"),
    "a spare too few": (with_slip("lock plate bolts, quantity: 3", "lock plate bolts, quantity: 2"), "single-use-new"),
    "an open time that nobody starts": (with_slip("        starts: sealant-open\n", ""), "timers-in-order"),
    "a signal word that is too weak": (with_slip("warning: The hub", "notice: The hub"), "signal-word-fits"),
    "a stage that was lost": (
        without(r"          - tool: large-wrench\n            purpose: check.*?(?=      - \{id: squeeze)"),
        "stages-as-said",
    ),
    "a lock that stays in": (without_step("pin-out"), "locks-come-out turns-unlocked locks-are-marked"),
    "a lock that nobody says may bear it": (without(r"        against: \[hub-pin\]\n"), "turns-unlocked"),
    "a level that nobody looks at": (without_step("oil-level"), "closing-levels"),
    "a source that is a placeholder": (
        with_slip("Invented for the practice axles of the Alder Row training workshop", "TBD"),
        "source-and-revision",
    ),
    "a hazard that was lost": (
        without(r"        hazards:\n          - warning: The hub and its oil.*?(?=      - \{id: cold)"),
        "usual-hazards",
    ),
    "a value typed into a sentence": (
        with_slip(
            "Push the hub lock pin into the housing until it stops.", "Push the hub lock pin 20 mm into the housing."
        ),
        "spoken-values",
    ),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_found_by_its_own_rule(slip):
    text, rule = SLIPS[slip]
    assert text != TEXT
    rules = {finding.rule for finding in read_text(text.encode(), "slip.yaml").findings}
    assert rules == set(rule.split()), [str(f) for f in read_text(text.encode(), "slip.yaml").findings]


def test_without_a_slip_nothing_is_found():
    assert read_text(TEXT.encode(), "demo.yaml").findings == ()
