"""A procedure that the office withdrew: a job begins with it only for who insists, and one that runs is told of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.display.picture import picture
from assistant.events import Thresholds
from assistant.journal.opening import open_journal
from assistant.kept.rebuilding import rebuild_session
from tests.jobs import ROOT
from tests.typed.play import play
from tests.workshop.copies import copy_of

CHECK = ROOT / "tests/procedure/good/bench-check.yaml"
GONE = (
    "This revision of the procedure was withdrawn on the first of December two thousand and twenty-six. "
    "The reason: The second torque is wrong."
)
ANYHOW = "Say confirmed to begin with it all the same."
LATER = "2026-12-02T08:00"


@pytest.fixture
def withdraw(tmp_path):
    """Let the office withdraw the procedure, as the bay's copy of the library tells it."""
    return lambda: copy_of(tmp_path, [CHECK], {("bench-check", "1"): "the second torque is wrong"})


def shown(home: Path) -> list[str]:
    """What the page warns of as the last job stands."""
    with open_journal(home, read_only=True) as journal:
        entries = journal.read("last").entries
    return picture(rebuild_session(entries, Thresholds()).view(entries[-1].at_ms / 1000))["troubles"]


def test_a_job_does_not_begin_with_it_before_somebody_insists(tmp_path, withdraw):
    withdraw()
    noted = ["take a note", '"ask the office"', "end note"]
    talk = ["next", "next", "cancel", "what is left", *noted, "next", "confirmed", "next", "pause"]
    played = play(CHECK, talk, home=tmp_path)
    assert played.answers[0].said.endswith(f"{GONE} {ANYHOW}")
    assert played.answers[1].said == "Cancelled. Nothing has changed."
    assert played.answers[2].said == played.answers[8].said == f"{GONE} {ANYHOW}"
    assert played.answers[9].said == "Before you start. The plate is clamped to the bench."
    assert played.answers[10].said.startswith("People needed"), "from now on it goes on as any other job"
    kinds = [kind for line in range(12) for kind, _ in played.answers[line].records]
    assert kinds.index("note") < kinds.index("begun_anyhow") < kinds.index("prepared"), "no work before that"
    (gone,) = played.facts("revision_gone")
    assert gone == {
        "procedure": "bench-check", "revision": "1", "on": "2026-12-01", "reason": "the second torque is wrong",
        "begins": True,
    }  # fmt: skip


def test_silence_does_not_begin_it_and_a_later_day_asks_again(tmp_path, withdraw):
    withdraw()
    played = play(CHECK, ["+10 min", "pause"], home=tmp_path)
    assert played.facts("begun_anyhow") == []
    later = play(CHECK, ["carry on", "next", "confirmed"], "--job", "last", home=tmp_path, begin=LATER)
    assert later.answers[2].said == f"{GONE} {ANYHOW}"
    assert len(later.facts("begun_anyhow")) == 1


def test_a_job_that_runs_goes_on_and_is_told_of_it_each_time_it_is_taken_up(tmp_path, withdraw):
    play(CHECK, ["next", "next"], home=tmp_path)
    assert shown(tmp_path) == []
    withdraw()
    for _ in range(2):
        later = play(CHECK, ["next", "pause", "carry on"], "--job", "last", home=tmp_path, begin=LATER)
        assert later.answers[0].said.endswith(f"{GONE} This job goes on with it.")
        assert later.facts("asked") == []
        assert [fact["begins"] for fact in later.facts("revision_gone")] == [False]
        assert later.answers[1].said
    assert shown(tmp_path) == ["Revision 1 of the procedure was withdrawn on 2026-12-01: the second torque is wrong."]


@pytest.mark.parametrize(
    ("before", "then", "head"),
    [
        (True, "begin anyhow", "NOT APPROVED; WITHDRAWN on 2026-12-01; begun anyhow"),
        (False, "", "NOT APPROVED; WITHDRAWN on 2026-12-01, while the job was open"),
    ],
)
def test_the_record_says_so_in_its_head_and_in_its_course(tmp_path, withdraw, before, then, head):
    if before:
        withdraw()
        play(CHECK, ["confirmed", "pause"], home=tmp_path)
    else:
        play(CHECK, ["pause"], home=tmp_path)
        withdraw()
        play(CHECK, ["carry on"], "--job", "last", home=tmp_path, begin=LATER)
    page = tmp_path / "record.html"
    env = {"ASSISTANT_HOME": str(tmp_path)}
    done = CliRunner().invoke(app, ["record", "last", "--html", str(page)], env=env)
    assert done.exit_code == 0, done.output
    text = page.read_text("utf-8")
    assert head in text
    assert "revision 1 of bench-check was withdrawn on 2026-12-01" in text
    assert then in text


def test_another_revision_of_the_same_procedure_is_not_concerned(tmp_path, withdraw):
    withdraw()
    other = tmp_path / "other.yaml"
    other.write_text(CHECK.read_text("utf-8").replace("revision: 1", "revision: 2"), "utf-8")
    assert "withdrawn" not in play(other, ["next"], home=tmp_path).answers[0].said


def test_the_reason_is_what_a_person_wrote_and_goes_with_the_job(tmp_path, withdraw):
    withdraw()
    talk = ["confirmed", "finish job", '"the office said so"', "end note", "confirmed"]
    assert play(CHECK, talk, home=tmp_path).exit == 0
    done = CliRunner().invoke(app, ["forget", "last", "--yes"], env={"ASSISTANT_HOME": str(tmp_path)})
    assert done.exit_code == 0, done.output
    with open_journal(tmp_path, read_only=True) as journal:
        (gone,) = [entry for entry in journal.read("last").entries if entry.kind == "revision_gone"]
    assert (gone.data["reason"], gone.data["revision"], gone.data["on"]) == ("[removed]", "1", "2026-12-01")
