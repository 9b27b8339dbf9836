"""``assistant work-out shims`` and ``pack``, as they are called at the desk."""

import json

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app

SERIES = ("--sizes", "2.00 to 3.20 by 0.05 mm")
BAND = ("--band", "0.18 to 0.24 mm")
FOUR = "valve,clearance,shim\n5 intake,0.30,2.60\n2 exhaust,0.31,2.50\n1 intake,0.235,2.55\n3 intake,0.12,2.65\n"


def run(*words):
    return CliRunner().invoke(app, ["work-out", *map(str, words)])


@pytest.fixture
def file(tmp_path):
    def write(text):
        path = tmp_path / "readings.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_each_valve_is_told_where_its_shim_comes_from(file):
    result = run("shims", file(FOUR), *SERIES, *BAND, "--box", "2.45 x 2, 2.55 mm", "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.output)
    assert [(one["valve"], one["new"], one["from"], one["expected"]) for one in found["table"]] == [
        ("5 intake", "2.70", "buy", "0.20"),
        ("2 exhaust", "2.60", "5 intake", "0.21"),
        ("1 intake", "2.55", "keeps it", "0.235"),
        ("3 intake", "2.55", "the box", "0.22"),
    ]
    assert found["buy"] == ["2.70"]
    assert found["over"] == ["2.45", "2.45", "2.50", "2.65"]
    assert found["doubts"] == ["1 intake is so near a limit that the gauge cannot tell."]
    assert "assumed" in found["given"]["gauge"]


def test_bands_and_inches_may_stand_in_the_file(file):
    text = "valve;clearance;shim;band\n1 in;0.012;2.60;0.007 to 0.009 in\n1 ex;0.012;2.60;0.011 to 0.013 in\n"
    result = run("shims", file(text), *SERIES, "--unit", "in", "--gauge", "0.0002 in")
    assert result.exit_code == 0, result.output
    assert "2.70" in result.output
    assert "Inches were converted exactly" in result.output
    assert "0.0081" in result.output  # 0.012 in - 0.1 mm = 0.2048 mm


def test_a_valve_that_no_shim_reaches_is_named_with_how_far(file):
    result = run("shims", file("valve,clearance,shim\n2 exhaust,0.10,2.00\n"), *SERIES, *BAND)
    assert result.exit_code == 0, result.output
    assert "No shim reaches the band of 2 exhaust: the nearest leaves it 0.08 mm below." in result.output


@pytest.mark.parametrize(
    ("text", "words", "says"),
    [
        (FOUR.replace("2.60", "2.61"), (*SERIES, *BAND), "there is no shim of 2.61 mm among the sizes"),
        (FOUR.replace("0.31", "-0.31"), (*SERIES, *BAND), "below zero"),
        (FOUR.replace("0.31", "3.1"), (*SERIES, *BAND), "ten times"),
        (FOUR.replace("0.31", "much"), (*SERIES, *BAND), "Line 3 of readings.csv: the clearance"),
        (FOUR.replace("0.31", "0.012 in"), (*SERIES, *BAND), "is in in, the others in mm"),
        (FOUR.replace("2 ex", "5 intake,0.3,2.60\n2 ex"), (*SERIES, *BAND), "again"),
        (FOUR, SERIES, "no wanted band"),
        (FOUR, (*SERIES, "--band", "at most 0.2 mm"), "both of its ends"),
        (FOUR, (*SERIES, *BAND, "--box", "0.1 in"), "different units"),
        (FOUR, (*SERIES, *BAND, "--unit", "bar"), "no unit of a clearance"),
        (FOUR, ("--sizes", "2.00 to 3.21 by 0.05 mm", *BAND), "do not end"),
        ("a,b\n1,2\n", (*SERIES, *BAND), "no table of clearances"),
        ("", (*SERIES, *BAND), "no table of clearances"),
    ],
)
def test_bad_readings_are_one_sentence(file, text, words, says):
    result = run("shims", file(text), *words)
    assert result.exit_code == 2, result.output
    assert says in result.output
    assert len(result.output.strip().splitlines()) == 1


def test_a_pack_is_worked_out_for_a_preload(file):
    words = ("0.10mm", "--band", "0.03 to 0.05 mm", "--preload", "--ratio", "1", "--pack", "0.24, 0.26 mm")
    result = run("pack", *words, "--shims", "0.10 mm", "--json")
    assert result.exit_code == 0, result.output
    found = json.loads(result.output)
    assert (found["pack"], found["expected"]) == ("0.36 mm", "-0.04 mm")
    assert "That leaves 0.04 mm of preload." in found["answer"]


def test_a_pack_is_worked_out_from_a_drag():
    """20 N·m less for each millimetre: 0.05 mm out of the pack makes 1 N·m more (plain arithmetic)."""
    words = ("0.8Nm", "--band", "1.6 to 2.0 N·m", "--ratio", "-20", "--pack", "0.25 x 2 mm", "--shims", "0.20 mm")
    result = run("pack", *words, "--json")
    assert result.exit_code == 0, result.output
    assert (json.loads(result.output)["pack"], json.loads(result.output)["expected"]) == ("0.45 mm", "1.8 N·m")


def test_a_pack_may_be_measured_in_small_inches():
    words = ("0.012in", "--band", "0.003 to 0.005 in", "--ratio", "-1", "--pack", "0.020 in")
    result = run("pack", *words, "--shims", "0.005 x 4, 0.028 in", "--json")
    assert result.exit_code == 0, result.output
    assert (json.loads(result.output)["pack"], json.loads(result.output)["expected"]) == ("0.028 in", "0.004 in")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("0.35mm", "--ratio", "about"), "is no ratio"),
        (("0.35mm", "--ratio", "0"), "ratio is zero"),
        (("0.35", "--ratio", "1"), "is no reading"),
        (("0.35Nm", "--ratio", "1"), "different units"),
        (("0.35mm",), "ratio"),
    ],
)
def test_a_pack_is_never_guessed(words, says):
    result = run("pack", *words, "--band", "0.05 to 0.10 mm", "--shims", "0.10 x 4 mm")
    assert result.exit_code == 2, result.output
    assert says in result.output
