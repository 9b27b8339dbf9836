"""The sheets of ``assistant work-out`` against figures that stand outside the project."""

import json

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app


def run(*words):
    return CliRunner().invoke(app, ["work-out", *words])


def worked(*words):
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.output)


@pytest.mark.parametrize(
    ("torque", "thread", "strength", "friction", "kilonewtons"),
    [
        # VDI 2230-1:2015, table A1: hexagon head, coarse thread, 90 % of yield (from memory), to its printed digits.
        ("48Nm", "M10", "8.8", "0.12", 29.6),
        ("84Nm", "M12", "8.8", "0.12", 43.1),
        ("302Nm", "M16", "10.9", "0.12", 118.9),
    ],
)
def test_the_clamp_force_is_the_printed_one(torque, thread, strength, friction, kilonewtons):
    found = worked("clamp", torque, "--thread", thread, "--strength", strength, "--friction", friction)
    assert float(found["force_N"]) / 1000 == pytest.approx(kilonewtons, rel=0.02)
    assert found["doubts"] == []


def test_a_nut_factor_is_the_one_that_a_book_prints():
    # Shigley, Mechanical Engineering Design, table 8-15, lubricated: K = 0.18 (from memory).
    found = worked("clamp", "45Nm", "--thread", "M10", "--strength", "8.8", "--friction", "0.14")
    assert float(found["nut_factor"]) == pytest.approx(0.18, abs=0.01)


def test_more_than_the_bolt_bears_is_a_doubt():
    # ISO 898-1, table 5: the proof load of M6 8.8 is 11,600 N (from memory).
    found = worked("clamp", "25Nm", "--thread", "M6", "--strength", "8.8")
    assert float(found["proof_load_N"]) == pytest.approx(11600, rel=0.01)
    assert "more than the proof load" in found["doubts"][0]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("clamp", "45", "--thread", "M10", "--strength", "8.8"), "has no unit"),
        (("clamp", "45Nm", "--thread", "M10", "--strength", "8.8", "--friction", "3"), "between 0.04 and 0.4"),
        (("clamp", "45Nm", "--thread", "M10", "--strength", "8.8", "--friction", "oil"), "is no coefficient"),
        (("clamp", "45Nm", "--thread", "M11", "--strength", "8.8"), "M11"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(words, says):
    result = run(*words)
    assert result.exit_code == 2
    assert says in result.output
    assert "Traceback" not in result.output
