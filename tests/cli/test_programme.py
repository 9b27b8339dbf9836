"""What assistant programme prints and draws."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app

ROOT = Path(__file__).parents[2]
BENCH = (ROOT / "tests" / "procedure" / "good" / "bench-check.yaml").read_text(encoding="utf-8")
COVER = ROOT / "procedures" / "coolant-pump-cover.yaml"
LONG = ROOT / "procedures" / "hub-drive-reseal.yaml"


def run(*words):
    return CliRunner().invoke(app, ["programme", *map(str, words)])


def rows(output):
    """Return the lines of actions, cell by cell."""
    lines = [line for line in output.splitlines() if re.match(r"\d+ +\d+ ", line)]
    return [re.split(r"  +", line.strip()) for line in lines]


def test_every_single_action_is_a_line_with_what_the_bolt_has_by_then():
    result = run(COVER)
    assert result.exit_code == 0
    # Three stages: six bolts, six bolts, and the four long ones by angle.
    lines = rows(result.output)
    assert [line[0] for line in lines] == [str(number) for number in range(1, 17)]
    assert [(line[1], line[3], line[4], line[6], line[7]) for line in lines if line[1] == "3"] == [
        ("3", "1", "torque 5 N·m", "5 N·m", "-"),
        ("3", "2", "torque 16 N·m", "16 N·m", "-"),
        ("3", "3", "a further 45°", "16 N·m", "45°"),
    ]
    assert "under the hose neck" in next(line for line in lines if line[1] == "6")[-1]


def test_a_torque_and_three_further_turns_are_four_lines_with_the_sum_of_the_turns(tmp_path):
    # Arithmetic, on paper: 5 percent of 35 are 1.75; 3 x 50 degrees.
    head, tail = BENCH.split("        stages:\n")
    turns = "".join("          - {angle: 50°, tool: wrench, runs: [{group: plate, bolts: all}]}\n" for _ in range(3))
    first = "          - {torque: 35 N·m, limits: ± 5 %, tool: wrench, runs: [{group: plate, bolts: all}]}\n"
    text = f"{head}        stages:\n{first}{turns}closing:{tail.split('closing:')[1]}"
    path = tmp_path / "final-bolt.yaml"
    path.write_text(text.replace("bolts: 1-4", "bolts: 1"), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 0, result.output
    assert [line[5:8] for line in rows(result.output)] == [
        ["33.25 to 36.75 N·m", "35 N·m", "-"],
        *(["-", "35 N·m", f"{turns * 50}°"] for turns in range(1, 4)),
    ]


def test_what_is_known_of_the_bolts_is_printed_with_what_the_check_cannot_catch():
    output = run(COVER).output
    line = re.split(r"  +", next(line for line in output.splitlines() if line.startswith("long bolts   M8")))
    # M8 class 8.8: stress area 36.6 mm², proof load 21 200 N (ISO 898-1, table 5, from memory), assembly
    # torque at friction 0.14 of 27.3 N·m (VDI 2230-1, table A1, from memory, within 2 percent).
    assert line[4] == "36.6"
    assert float(line[5]) == pytest.approx(21.2, rel=0.005)
    assert float(line[8]) == pytest.approx(27.3, rel=0.02)
    assert "36 lbf·ft written as 36 N·m on an M10 bolt is not noticed" in output
    assert "no specification" in output


def test_one_step_can_be_chosen_and_a_wrong_one_names_those_there_are():
    assert rows(run(LONG, "--step", "plate-tight").output)[-1][6:8] == ["15 N·m", "60°"]
    result = run(LONG, "--step", "plate")
    assert result.exit_code == 2
    assert 'There is no step "plate" that tightens' in result.stderr
    assert "plate-tight" in result.stderr


def test_the_maps_of_all_steps_are_drawn_below_each_other_and_nothing_is_overwritten(tmp_path):
    out = tmp_path / "maps.svg"
    assert run(LONG, "--svg", out).exit_code == 0
    root = ElementTree.fromstring(out.read_text(encoding="utf-8"))
    maps = [one for one in root if one.tag.endswith("}svg")]
    tightens = re.findall(r"^ +tighten: (.+)$", LONG.read_text(encoding="utf-8"), re.MULTILINE)
    assert ["".join(one.find("{*}text").itertext()) for one in maps] == tightens
    again = run(LONG, "--svg", out)
    assert again.exit_code == 8
    assert "is there already" in again.stderr
    assert run(LONG, "--svg", out, "--force").exit_code == 0
    assert (tmp_path / "maps.svg.bak").exists()


def test_a_file_with_errors_and_one_without_a_programme_are_refused_in_sentences(tmp_path):
    path = tmp_path / "bad.yaml"
    path.write_text(BENCH.replace("torque: 12 N·m", "torque: 12 Nmm"), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 4
    assert '"Nmm" is not a unit of torque' in result.stderr
    nothing = BENCH.split("      - id: tighten-plate")[0] + "closing:" + BENCH.split("closing:")[1]
    path.write_text(nothing.replace("tools: [wrench]", ""), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 4
    assert "no step that tightens" in result.stderr


def test_a_doubtful_value_is_said_again_under_the_table(tmp_path):
    path = tmp_path / "doubtful.yaml"
    text = BENCH.replace("bolts: 1-4}", "bolts: 1-4, thread: M8, class: 8.8}")
    path.write_text(text.replace("torque: 12 N·m", "torque: 30 N·m"), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 0
    assert "30 N·m is more than M8 class 8.8 usually takes" in result.output


def test_the_picture_in_the_docs_is_the_one_that_is_drawn(tmp_path):
    out = tmp_path / "map.svg"
    assert run(COVER, "--svg", out).exit_code == 0
    shown = (ROOT / "docs" / "pictures" / "bolt-map.svg").read_text(encoding="utf-8")
    assert out.read_text(encoding="utf-8") == shown
