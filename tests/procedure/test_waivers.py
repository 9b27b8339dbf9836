"""A warning can be answered for in the file, with a reason, where it is; an error never can."""

import pytest

from assistant.procedure.format.reader import read_text
from tests.procedure.test_good_files import BENCH

BASE = BENCH.read_text("utf-8")
LONG = "Put the plate on the gasket so that the arrow on its upper edge points to the red mark on the left side."
WARNS = BASE.replace("Put the plate on the gasket.", LONG)


def read(text, *waivers):
    return read_text((text + "waivers:\n" + "".join(f"  - {waiver}\n" for waiver in waivers)).encode(), "x.yaml")


def test_a_waived_warning_is_kept_apart_with_its_reason():
    reading = read(WARNS, "{rule: sentence-length, at: place-plate, reason: It is read twice.}")
    assert reading.findings == ()
    ((finding, reason),) = [(one.finding, one.reason) for one in reading.waived]
    assert (finding.rule, finding.line, reason) == ("sentence-length", 31, "It is read twice.")
    assert reading.procedure is not None


@pytest.mark.parametrize("at", ["", ", at: look", ", at: plate"])
def test_a_waiver_for_another_place_covers_nothing_and_says_so(at):
    reading = read(WARNS, f"{{rule: sentence-length{at}, reason: It is read twice.}}")
    assert [finding.rule for finding in reading.findings] == ["sentence-length", "waivers"]


def test_a_waiver_without_a_place_is_for_the_file_as_a_whole():
    text = BASE.replace("Are all the tools back in their places?", "Is the floor clean?")
    reading = read(text, "{rule: closing-tools, reason: The board shows what is missing.}")
    assert reading.findings == ()
    assert [one.finding.rule for one in reading.waived] == ["closing-tools"]


@pytest.mark.parametrize(
    ("slip", "rule"),
    [
        (("bolts: [1, 3, 2, 4]", "bolts: [1, 3, 2]"), "every-bolt-once"),
        (("in: plate", "in: plates"), "references"),
        (("torque: 12 N·m", "torque: 12 nm"), "unit"),
    ],
)
def test_an_error_stays_an_error_whatever_is_waived(slip, rule):
    broken = BASE.replace(*slip)
    ids = ["look", "bolts-out", "bolts-in", "tighten-plate", "plate"]
    every = [f"{{rule: {rule}, at: {name}, reason: It does not matter.}}" for name in ids]
    reading = read(broken, *every, f"{{rule: {rule}, reason: It does not matter.}}")
    assert reading.procedure is None
    assert rule in {finding.rule for finding in reading.errors}
    assert reading.waived == ()


def test_a_waiver_needs_a_reason():
    reading = read(WARNS, "{rule: sentence-length, at: place-plate}")
    assert "missing-key" in {finding.rule for finding in reading.errors}
