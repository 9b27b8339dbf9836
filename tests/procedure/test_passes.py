"""Stages of several passes: what is read, what is written again, and the order in which they are done."""

import re
from pathlib import Path

import pytest

from assistant.fastening.programme import expand
from assistant.procedure.format.reader import read_text
from assistant.procedure.programme_text import place_text, stage_place
from assistant.procedure.steps.programmes import programme_of, written_passes
from tests.procedure.writing import to_yaml

FOLDER = Path(__file__).parent
HEAD, TAIL = (FOLDER / "good" / "bench-check.yaml").read_text(encoding="utf-8").split("        stages:\n")
TAIL = "closing:" + TAIL.split("closing:")[1]
PAGE = (FOLDER.parents[1] / "docs" / "procedure-format.md").read_text(encoding="utf-8")


def read(stages: str, bolts: str = "1-4"):
    """Return what is read of the bench check with these stages over so many plate bolts."""
    return read_text((HEAD.replace("bolts: 1-4", f"bolts: {bolts}") + stages + TAIL).encode(), "x")


def stage(words: str, bolts: str = "all") -> str:
    """Return a line with a stage of one pass over the plate bolts."""
    return f"          - {{{words}, tool: wrench, runs: [{{group: plate, bolts: {bolts}}}]}}\n"


MIXED = (
    "        stages:\n"
    + stage("torque: 8 N·m")
    + """\
          - stage: "2a"
            label: Final turn
            tool: wrench
            passes:
              - {torque: 12 N·m, runs: [{group: plate, bolts: [1, 3]}]}
              - {angle: 50°, repeat: 3, runs: [{group: plate, bolts: [3, 1]}], note: Mark the heads first.}
              - {angle: 25°, together: yes, to_yield: no, runs: [{group: plate, bolts: [2, 4], tool: wrench}]}
"""
)


def test_a_stage_holds_passes_each_with_its_own_kind_bolts_order_and_tool():
    reading = read(MIXED)
    assert reading.findings == ()
    step = reading.procedure.steps[-1]
    two = step.stages[1]
    assert (two.number, two.label, two.tool) == ("2a", "Final turn", "wrench")
    assert [(one.way, one.repeat, one.together, one.note) for one in two.passes] == [
        ("torque", 1, False, ""), ("angle", 3, False, "Mark the heads first."), ("angle", 1, True, ""),
    ]  # fmt: skip
    assert [two.tool_of(one, run) for one in two.passes for run in one.runs] == ["wrench"] * 3
    # On paper: four bolts once, then two by torque, those two three times by angle the other way round, two together.
    done = [(action.turn, action.time, action.bolt, str(action.target.value)) for action in
            expand(programme_of(step, reading.procedure))]  # fmt: skip
    assert done == [
        *((1, 1, bolt, "8 N·m") for bolt in (1, 2, 3, 4)),
        (2, 1, 1, "12 N·m"), (2, 1, 3, "12 N·m"),
        (3, 1, 3, "50°"), (3, 1, 1, "50°"), (4, 2, 3, "50°"), (4, 2, 1, "50°"), (5, 3, 3, "50°"), (5, 3, 1, "50°"),
        (6, 1, 2, "25°"), (6, 1, 4, "25°"),
    ]  # fmt: skip
    places = [place_text(stage_place(step, one.stage, one.part)) for one in written_passes(step)]
    assert places[1:3] == ["2a (Final turn), pass 1 of 3", "2a (Final turn), pass 2 of 3, 1st of 3"]


def test_what_is_written_again_is_read_as_the_same():
    it = read(MIXED).procedure
    again = read_text(to_yaml(it).encode(), "x").procedure
    without = re.compile(r"\bline=\d+")
    assert without.sub("", repr(again.steps)) == without.sub("", repr(it.steps))


@pytest.mark.parametrize("key", ["reseat", "repeat_from"])
def test_a_stage_that_loosens_leads_back_by_its_new_name_and_by_its_older_one(key):
    reading = read(
        "        stages:\n" + stage("torque: 8 N·m") + stage("torque: 12 N·m")
        + stage(f"purpose: loosen, angle: 1/2 turn, {key}: 1") + stage("angle: 30°")
    )  # fmt: skip
    assert reading.findings == ()
    step = reading.procedure.steps[-1]
    planned = [action.planned for action in expand(programme_of(step, reading.procedure))[::4]]
    assert planned == [1, 2, 3, 1, 2, 4]
    assert "reseat: 1" in to_yaml(reading.procedure).replace("'", "").replace('"', "")


def test_reseat_names_the_printed_number():
    stages = stage('stage: "3", torque: 8 N·m') + stage('stage: "4", torque: 12 N·m')
    reading = read("        stages:\n" + stages + stage('stage: "5", purpose: loosen, angle: 90°, reseat: "4"'))
    step = reading.procedure.steps[-1]
    assert reading.findings == ()
    assert [action.planned for action in expand(programme_of(step, reading.procedure))[::4]] == [1, 2, 3, 2]
    lost = read("        stages:\n" + stages + stage('stage: "5", purpose: loosen, angle: 90°, reseat: "1"'))
    (finding,) = lost.findings
    assert finding.rule == "stage-purpose"
    assert "from stage 1, which is not there" in finding.text


def test_a_bolt_that_no_pass_of_a_stage_takes_is_found_and_so_is_one_taken_twice_in_a_pass():
    reading = read(
        MIXED.replace(
            "{group: plate, bolts: [2, 4], tool: wrench}", "{group: plate, bolts: 2}, {group: plate, bolts: [3, 2]}"
        )
    )
    (finding,) = [one for one in reading.findings if one.rule == "every-bolt-once"]
    assert 'leaves out 4 of the group "plate"; takes 2 of the group "plate" twice, in pass 3' in finding.text


def test_the_stages_on_the_format_page_are_read_without_a_finding():
    part = next(one for one in re.findall(r"^```yaml\n(.*?)^```$", PAGE, re.M | re.S) if one.startswith("stages:"))
    more = "    - {id: gauge, name: angle gauge}\n    - {id: long-gauge, name: long angle gauge}\n"
    head = HEAD.replace("  supplies: []\n", f"{more}  supplies: []\n").replace(
        "[wrench]", "[wrench, gauge, long-gauge]"
    )
    head = head.replace("bolts: 1-4}", "bolts: 1-6, order: [1, 4, 2, 5, 3, 6]}")
    reading = read_text(
        (head + re.sub("^", " " * 8, part.replace("cover", "plate"), flags=re.M).rstrip(" ") + TAIL).encode(), "x"
    )
    assert reading.findings == ()
    assert [len(one.passes) for one in reading.procedure.steps[-1].stages] == [1, 3, 1]
