"""The sheet of a plan: worked out by hand for a short procedure, in the middle of a job, as a drawing, and refused."""

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
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
