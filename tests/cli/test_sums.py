"""The sums of the command line against figures that handbooks print."""

import re

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app


def run(*words):
    return CliRunner().invoke(app, list(words))


def test_one_pound_foot_is_the_sum_of_its_parts():
    # NIST SP 811, appendix B.8: 1 lbf·ft = 1.355 818 N·m (from memory); 100 of them are 135.58 N·m.
    out = run("convert", "100", "lbf.ft").output
    assert "135.58 N·m" in out
    assert "1200.00 lbf·in" in out  # 12 inches to a foot: US Navy NAVEDTRA 14315, torquing computation


@pytest.mark.parametrize(
    ("words", "printed", "within"),
    [
        # US Army TM 1-1500-204-23-9, torque wrench attachments, prints 214.
        (("300 in-lb", "--lever", "10in", "--extension", "4in"), 214, 0.5),
        # US Navy NAVEDTRA 14315 prints 66.7.
        (("100 in-lb", "--lever", "12in", "--extension", "6in"), 66.7, 0.05),
        # US Army TM 9-2350-277-40&P prints 30.
        (("40 lb-ft", "--lever", "12in", "--extension", "4in"), 30, 0.01),
        # US Navy NAVEDTRA 14008, page 50: at a right angle the value does not change.
        (("100Nm", "--lever", "400", "--extension", "50", "--angle", "90"), 100, 0.01),
    ],
)
def test_the_setting_is_the_printed_one(words, printed, within):
    result = run("wrench-setting", *words)
    assert result.exit_code == 0
    assert float(re.match(r"Set ([\d.]+) ", result.output)[1]) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("convert", "40"), "has no unit"),
        (("convert", "12", "J"), "energy, not torque"),
        (("convert", "40", "nm"), "nanometre"),
        (
            ("wrench-setting", "40Nm", "--lever", "100", "--extension", "120", "--angle", "180"),
            "reaches back past the hand",
        ),
        (("wrench-setting", "40Nm", "--lever", "0", "--extension", "50"), "always more than zero"),
        (("wrench-setting", "40Nm", "--lever", "-400", "--extension", "50"), "always more than zero"),
        (("wrench-setting", "40Nm", "--lever", "inf", "--extension", "50"), "does not begin with a number"),
        (
            ("wrench-setting", "40Nm", "--lever", "400", "--extension", "5 furlongs"),
            "write for example 400 mm or 16 in",
        ),
        (("wrench-setting", "40Nm", "--lever", "400", "--extension", "50", "--angle", "nan"), "write for example 90°"),
        (("wrench-setting", "40Nm", "--lever", "400", "--extension", "50", "--angle", "-10"), "0 for straight"),
        (("wrench-setting", "40Nm", "--lever", "400", "--extension", "50", "--angle", "200"), "0° for straight"),
        (("convert", "nan", "N.m"), "does not begin with a number"),
        (("convert", "-5", "Nm"), "not more than zero"),
        (("convert", "12", "Nmm"), "write for example 40 N·m"),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_hint(words, says, capfd):
    result = run(*words)
    assert result.exit_code == 2
    assert says in result.output + result.stderr
