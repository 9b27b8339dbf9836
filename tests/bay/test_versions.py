"""A changed procedure is noticed: by its approval, when it is compared, and when a job goes on."""

import json
import os
import pty
import re
import subprocess
import sys
from dataclasses import replace
from datetime import datetime
from hashlib import sha256
from pathlib import Path

import numpy as np
import pytest
import soundfile
from typer.testing import CliRunner

from assistant import facts
from assistant.__main__ import app
from assistant.bay.job_opening import approval_missing, open_job
from assistant.events import Say, Thresholds
from assistant.journal.opening import journal_is_there, open_journal
from assistant.kept.file_changes import changes_since
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.settings import Settings
from assistant.terminal.exits import Exit
from tests.procedure.test_good_files import BENCH, DEMOS

NOON = 1_790_000_000.0
SPOKEN_LIMIT_WORDS = 25
"""Words of a descriptive sentence (ASD-STE100, as summarised publicly)."""


def today():
    return datetime.now().astimezone().date().isoformat()


def run(*arguments, home=None):
    return CliRunner().invoke(app, list(map(str, arguments)), env={"ASSISTANT_HOME": str(home)} if home else None)


@pytest.fixture
def procedure(tmp_path):
    path = tmp_path / "procedure.yaml"
    path.write_bytes(BENCH.read_bytes())
    return path


def test_the_demos_are_approved_as_they_are():
    said = "it was changed: read it, then assistant approve FILE --by 'Alder Row training workshop' --write"
    for path in DEMOS:
        assert read_procedure(path).procedure.approved, f"{path.name}: {said}"


def test_an_approval_is_written_with_a_copy_of_the_old_file_and_holds(procedure):
    before = procedure.read_bytes()
    shown = run("approve", procedure, "--by", "The foreman")
    assert (shown.exit_code, procedure.read_bytes()) == (Exit.OK, before)
    assert "--write" in shown.stdout
    done = run("approve", procedure, "--by", "The foreman: of Alder Row", "--write")
    assert done.exit_code == Exit.OK
    assert procedure.with_name("procedure.yaml.bak").read_bytes() == before
    reading = read_procedure(procedure)
    assert reading.findings == ()
    assert reading.procedure.approved
    assert (reading.procedure.approval.by, reading.procedure.approval.on) == (
        "The foreman: of Alder Row",
        today(),
    )
    assert f"approved by The foreman: of Alder Row on {today()}" in run("check", procedure).stdout


def test_any_changed_value_makes_the_approval_void(procedure):
    run("approve", procedure, "--by", "The foreman", "--write")
    approved = procedure.read_text("utf-8")
    procedure.write_text(approved.replace("12 N·m", "13 N·m"), "utf-8")
    done = run("check", procedure)
    assert done.exit_code == Exit.WARNINGS
    assert "[approval-holds]" in done.stdout
    assert "not approved as it is now" in done.stdout
    procedure.write_text(approved.replace("\n", "\r\n").replace("chapters:", "\r\nchapters:  "), "utf-8", newline="")
    assert read_procedure(procedure).procedure.approved  # another editor's line ends and empty lines change nothing


def test_approving_again_replaces_the_approval(procedure):
    for name in ("The foreman", "The trainer"):
        run("approve", procedure, "--by", name, "--write")
    text = procedure.read_text("utf-8")
    assert text.count("approval:") == 1
    assert read_procedure(procedure).procedure.approval.by == "The trainer"


def test_what_has_errors_cannot_be_approved(procedure):
    procedure.write_text(procedure.read_text("utf-8").replace("12 N·m", "12"), "utf-8")
    before = procedure.read_bytes()
    done = run("approve", procedure, "--by", "The foreman", "--write")
    assert done.exit_code == Exit.PROCEDURE
    assert "[unit]" in done.output
    assert procedure.read_bytes() == before


@pytest.mark.parametrize(
    ("approval", "said"),
    [
        ("", "This procedure is not approved."),
        ("approval: {by: The foreman, on: 2026-11-20, content: 0123456789ab}\n", "This procedure was changed after"),
    ],
)
def test_an_unapproved_procedure_says_so_at_the_start_of_a_job(approval, said, tmp_path):
    reading = read_text(BENCH.read_bytes() + approval.encode(), "x.yaml")
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, reading, "x.yaml", Settings(), Thresholds(), NOON)
        first = next(effect for effect in opened.first if isinstance(effect, Say))
        assert first.text.startswith(said)
        assert "Bench check." in first.text  # what the job begins with is not lost
        opened.job.close()
        approved = read_procedure(DEMOS[0])
        opened = open_job(journal, approved, "x.yaml", Settings(), Thresholds(), NOON)
        assert "approved" not in " ".join(effect.text for effect in opened.first if isinstance(effect, Say))
        assert len(approval_missing(reading.procedure).split()) <= SPOKEN_LIMIT_WORDS
        opened.job.close()


def job_for(path, home):
    """Open a job for ``path`` as the command line does, and let it go; return its name and its first entry."""
    with open_journal(home) as journal:
        facts = {"procedure_path": str(path)}
        opened = open_job(journal, read_procedure(path), path.name, Settings(), Thresholds(), NOON, **facts)
        name, first = opened.job.id, opened.job.entries()[0].fact
        opened.job.close()
    return name, first


def test_a_job_is_compared_with_the_file_as_it_is_now(procedure, tmp_path):
    name, first = job_for(procedure, tmp_path)
    assert changes_since(first) is None
    text = procedure.read_text("utf-8")
    procedure.write_text("# Only a remark.\n" + text, "utf-8")
    assert changes_since(first) is None  # it says the same
    procedure.write_text(text.replace("12 N·m", "13 N·m"), "utf-8")
    change = changes_since(first)
    assert "stage 2, run 1, torque: 12 N·m became 13 N·m" in change.text
    assert change.spoken == (
        "The procedure file was changed after this job began. One step is changed. This job goes on with its own copy."
    )
    done = run("diff", name, procedure, home=tmp_path)
    assert done.exit_code == Exit.DIFFERENT
    assert "torque: 12 N·m became 13 N·m" in done.stdout
    procedure.write_text(text.replace("12 N·m", "13"), "utf-8")
    assert "It has errors now" in changes_since(first).spoken
    procedure.unlink()
    assert changes_since(first) is None
    assert first.procedure_sha256 == sha256(first.procedure_yaml.encode()).hexdigest()


def test_a_job_goes_on_under_rules_that_came_later(tmp_path):
    """A job that is open must not be lost because a new version of the program has one more rule."""
    from assistant.kept.rebuilding import rebuild_session

    path = tmp_path / "procedure.yaml"
    path.write_bytes(BENCH.read_bytes())
    _, first = job_for(path, tmp_path)
    with open_journal(tmp_path, read_only=True) as journal:
        (entry, *rest) = journal.read("last").entries
    under_old_rules = first.procedure_yaml.replace("source: Invented for", "source: TBD #")
    assert read_text(under_old_rules.encode(), "x").procedure is None
    data = {**entry.data, "procedure_yaml": under_old_rules}
    session = rebuild_session([replace(entry, data=data), *rest], Thresholds())
    assert not session.closed


@pytest.mark.parametrize(("answer", "goes_on"), [("\n", True), ("n\n", False), ("\x04", False)])
def test_the_mechanic_decides_at_the_terminal(answer, goes_on, procedure, tmp_path):
    _, first = job_for(procedure, tmp_path)
    procedure.write_text(procedure.read_text("utf-8").replace("12 N·m", "13 N·m"), "utf-8")
    code = (
        "import json, sys\nfrom assistant import facts\n"
        "from assistant.kept.file_changes import changes_since, goes_on\n"
        "print('GOES ON' if goes_on(changes_since(facts.load('opened', 1, json.loads(sys.argv[1])))) else 'STOPS')"
    )
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", code, json.dumps(facts.dump(first)[2])], stdin=theirs, stdout=subprocess.PIPE, text=True
    )
    os.close(theirs)
    os.write(ours, answer.encode())
    out, _ = process.communicate(timeout=60)
    os.close(ours)
    assert "torque: 12 N·m became 13 N·m" in out
    assert ("GOES ON" in out) == goes_on
    assert process.returncode == 0


def test_without_a_terminal_the_job_goes_on_with_its_own_copy(procedure, tmp_path, capsys):
    from assistant.kept.file_changes import goes_on

    _, first = job_for(procedure, tmp_path)
    procedure.write_text(procedure.read_text("utf-8").replace("12 N·m", "13 N·m"), "utf-8")
    assert goes_on(changes_since(first))
    assert "the job has its own copy" in capsys.readouterr().out


def test_files_are_compared_step_by_step(tmp_path):
    old, new = tmp_path / "old.yaml", tmp_path / "new.yaml"
    text = BENCH.read_text("utf-8")
    old.write_text(text, "utf-8")
    new.write_text(text.replace("12 N·m", "13 N·m").replace("revision: 1", "revision: 2"), "utf-8")
    done = run("diff", old, new)
    assert done.exit_code == Exit.DIFFERENT
    assert re.findall(r"^step (\S+): changed$", done.stdout, re.MULTILINE) == ["tighten-plate"]
    assert done.stdout.endswith("2 differences.\n")
    same = run("diff", old, old)
    assert (same.exit_code, same.stdout) == (Exit.OK, "Nothing differs in what the procedures say.\n")
    listed = json.loads(run("diff", old, new, "--json").stdout)
    assert [(one["kind"], one["name"], one["change"]) for one in listed][-1] == ("step", "tighten-plate", "changed")


@pytest.mark.parametrize("name", ["missing.yaml", "no-such-job", ""])
def test_what_is_neither_a_file_nor_a_job_is_said_in_one_sentence(name, tmp_path):
    done = run("diff", BENCH, name, home=tmp_path)
    assert done.exit_code == Exit.PROCEDURE
    assert len(done.stderr.splitlines()) == 1
    assert not journal_is_there(Path(tmp_path))


def test_resume_shows_what_changed_before_anything_else(procedure, tmp_path):
    """The whole command, up to the device that is not there: a recording opens the job, the file is changed, resume."""
    talk = tmp_path / "quiet.wav"
    soundfile.write(talk, np.random.default_rng(1).normal(0, 0.001, 8000), 16_000)
    environment = os.environ | {"ASSISTANT_HOME": str(tmp_path)}
    command = [sys.executable, "-m", "assistant"]
    opened = subprocess.run(
        [*command, "rehearse", procedure, "--audio-in", talk],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert opened.returncode == Exit.OPEN, opened.stderr
    assert "This procedure is not approved." in opened.stdout
    job = opened.stdout.rsplit("assistant resume ", 1)[1].strip()
    procedure.write_text(procedure.read_text("utf-8").replace("12 N·m", "13 N·m"), "utf-8")
    resumed = subprocess.run(
        [*command, "resume", job, "--microphone", "no such microphone"],
        env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert resumed.returncode == Exit.DEVICE, resumed.stderr
    assert "was changed after this job began" in resumed.stdout
    assert "torque: 12 N·m became 13 N·m" in resumed.stdout
