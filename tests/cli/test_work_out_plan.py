"""The sheet of a plan: worked out by hand for a short procedure, in the middle of a job, as a drawing, and refused."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.journal.opening import open_journal
from tests.jobs import START_S, work
from tests.typed.play import ROOT, play

LID = ROOT / "tests/typed/procedures/waiting-lid.yaml"


@pytest.fixture
def at_home(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    return tmp_path


def run(*words):
    return CliRunner().invoke(app, ["work-out", "plan", *map(str, words)])


def worked(*words):
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.output)


def times(found):
    return {one["step"]: (one["start_s"] // 60, one["end_s"] // 60) for one in found["steps"]}


def test_the_label_is_written_while_the_sealant_cures(at_home):
    # By hand: four bolts out 30 s and 20 s each, bead 2 min, lid 3 min, bolts in 30 s and 15 s each, tightened 30 s and
    # 10 s each, then 30 min of cure, in which the label (4 min) and the hose (1 min) have room.
    found = worked(LID)
    at = {one["step"]: (one["start_s"], one["end_s"]) for one in found["steps"]}
    assert [at[step] for step in ("lid-out", "bead", "lid-on", "lid-in", "lid-tight")] == [
        (0, 110), (110, 230), (230, 410), (410, 500), (500, 570),
    ]  # fmt: skip
    assert (at["set"], at["label"], at["hose"]) == ((570, 2370), (570, 810), (810, 870))
    assert (found["seconds"], found["proven"]) == (2370, True)
    assert [one["step"] for one in found["steps"] if one["holds_up"]] == [
        "lid-out", "bead", "lid-on", "lid-in", "lid-tight", "set",
    ]  # fmt: skip
    assert [one["known_from"] for one in found["steps"] if one["step"] in ("bead", "set", "level")] == [
        "nothing", "minutes", None,
    ]  # fmt: skip
    assert found["doubts"][0] == "12 steps have no time and count as none: write their minutes into the procedure."
    assert "3 steps have an estimate from the number of fasteners, the passes and the tool" in found["doubts"][1]
    assert [one["known_from"] for one in found["steps"] if one["step"] == "lid-tight"] == ["estimate"]


def test_it_is_compared_with_the_book_time(at_home):
    assert worked("valve-clearances")["answer"] == [
        "The rest takes 5:05 hours.",
        "That leaves 0:15 of the book time of 5:20.",
    ]
    assert "whether that holds, " in worked("hub-drive-reseal")["answer"][1]
    told = LID.read_text("utf-8").replace("hazard_scheme: ansi", "hazard_scheme: ansi\n  book_time: 20 min")
    file = at_home / "lid.yaml"
    file.write_text(told, "utf-8")
    assert "That is 0:20 over the book time of 0:20." in worked(file)["answer"]


def to_the_cure(home):
    talk = [
        *["next"] * 5,
        "yes",
        "next",
        "confirmed",
        "next",
        "next",
        "count four",
        "next",
        "count one",
        "next",
        "next",
    ]
    return play(LID, [*talk, "count four", "next", "+10 min", "where am i"], home=home)


def test_the_rest_of_a_job_is_planned_from_where_it_stands(at_home):
    to_the_cure(at_home / "home")
    found = worked("--job", "last")
    at = times(found)
    assert "bead" not in at
    assert at["label"] == (0, 4)
    assert 19 * 60 <= next(one["end_s"] for one in found["steps"] if one["step"] == "set") <= 20 * 60
    assert "11 steps done" in found["given"]["job"]
    assert run("hub-drive-reseal", "--job", "last").exit_code == 2


def test_a_rehearsal_says_nothing_about_how_long_the_work_takes(at_home):
    to_the_cure(at_home / "home")
    assert {one["known_from"] for one in worked(LID)["steps"]} == {"minutes", "estimate", "nothing", None}


FRAME = ROOT / "tests/typed/procedures/shared-frame.yaml"


def test_a_second_person_does_what_a_helper_may_do_and_holds_where_two_are_needed(at_home):
    # By hand: level 10 min, clean 7, mark 2, lift 1, bolts 3, look 1. Alone all of it; a helper cleans beside the
    # levelling, and a second mechanic marks then, too.
    alone, helped, two = worked(FRAME), worked(FRAME, "--people", 2), worked(FRAME, "--hands", 2)
    assert [one["seconds"] // 60 for one in (alone, helped, two)] == [24, 17, 15]
    assert [one["proven"] for one in (alone, helped, two)] == [True] * 3
    assert [one["step"] for one in helped["steps"] if one["by_helper"]] == ["clean"]
    assert not any(one["by_helper"] for one in (*alone["steps"], *two["steps"]))
    assert (alone["short"], helped["short"], two["short"]) == (["lift"], [], [])
    assert alone["doubts"][0].startswith("More people than the 1 who are at it")
    assert worked(FRAME, "--hands", 2, "--people", 3)["seconds"] == two["seconds"]
    refused = run(FRAME, "--hands", 2, "--people", 1)
    assert (refused.exit_code, "2 mechanics are more than 1 people" in refused.output) == (2, True)


def test_two_tightenings_wait_for_the_one_wrench_of_the_bay_that_fits_them(at_home):
    text = FRAME.read_text("utf-8").replace("needs: [level, clean, mark], ", "needs: [], ")
    more = text[text.index("      - id: bolts\n") : text.index("closing:")]
    text = text.replace(more, more.replace("minutes: 3", "minutes: 30\n        needs: []"))
    other = more.replace("id: bolts", "id: more").replace("wrench]", "second]").replace("tool: wrench", "tool: second")
    text = text.replace("closing:", other.replace("minutes: 3", "minutes: 30\n        needs: []") + "closing:")
    text = text.replace(
        "- {id: wrench, name: torque wrench}",
        "- {id: wrench, name: torque wrench}\n    - {id: second, name: second torque wrench}",
    )
    file = at_home / "two.yaml"
    file.write_text(text, "utf-8")
    tools = ROOT / "tests/typed/tools/no-ratio.yaml"  # one wrench of its two can give 12 N·m

    def together(found):
        at = {one["step"]: one for one in found["steps"]}
        return at["bolts"]["start_s"] < at["more"]["end_s"] and at["more"]["start_s"] < at["bolts"]["end_s"]

    assert together(worked(file, "--hands", 2))
    in_bay = worked(file, "--hands", 2, "--tools", tools)
    assert not together(in_bay)
    assert (in_bay["lacking"], in_bay["unfit"], in_bay["given"]["tools"]) == ([], [], "no-ratio.yaml")
    large = at_home / "large.yaml"
    large.write_text(re.sub(".*small-wrench.*\n", "", tools.read_text("utf-8")), "utf-8")
    without = worked(file, "--tools", large)
    assert (without["unfit"], run(file, "--tools", at_home / "none.yaml").exit_code) == (["bolts", "more"], 4)
    assert any('No tool of the tool file gives a value of "bolts", "more"' in one for one in without["doubts"])


def test_what_steps_took_before_stands_in_or_comes_first_or_is_left_out(at_home):
    with open_journal(at_home / "home") as journal:
        work(journal, LID, start_s=START_S, operator="A. Reed")

    def sources(*options):
        return {one["step"]: one["known_from"] for one in worked(LID, *options)["steps"]}

    usual, first, never = sources(), sources("--history"), sources("--no-history")
    assert [one["label"] for one in (usual, first, never)] == ["minutes", "bay", "minutes"]
    assert [one["marked"] for one in (usual, first, never)] == ["bay", "bay", "nothing"]
    assert [one["lid-tight"] for one in (usual, first, never)] == ["bay", "bay", "estimate"]


def test_the_chart_has_a_bar_for_each_step_and_an_axis(at_home):
    out = at_home / "plan.svg"
    result = run(LID, "--svg", out)
    assert result.exit_code == 0
    drawn = ElementTree.fromstring(out.read_text("utf-8"))
    titles = [one.text for one in drawn.iter("{http://www.w3.org/2000/svg}title")]
    assert "12. Let the sealant cure.: waits, 0:10 to 0:40, holds up the end" in titles
    assert len(titles) == 1 + 20
    assert {"0:00", "0:10", "0:20", "0:30"} <= {one.text for one in drawn.iter("{http://www.w3.org/2000/svg}text")}
    assert run(LID, "--svg", out).exit_code == 8  # nothing is written over
    assert run(LID, "--svg", at_home / "plan.png").exit_code == 2


def test_what_cannot_be_planned_is_one_sentence(at_home):
    text = LID.read_text("utf-8")

    def refused(old, new):
        file = at_home / "changed.yaml"
        assert old in text
        file.write_text(text.replace(old, new), "utf-8")
        result = run(file)
        assert "Traceback" not in result.output
        return result

    late = refused("before: open, minutes: 3", "before: open, minutes: 12")
    assert late.exit_code == 2
    assert 'The open time behind "bead" is 10 min' in late.output
    loop = refused("needs: [turned]", "needs: [cover-told]")
    assert (loop.exit_code, "needs itself" in loop.output) == (4, True)
    assert refused("minutes: 4", "minutes: -4").exit_code == 4
    assert run().exit_code == 2
    assert run("--job", "nobody").exit_code == 6
    assert run(Path("no-such.yaml")).exit_code == 4
