"""While somebody works on a job, another process sees that he does, and what he did since it looked last."""

import json
import os
import platform

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.journal.opening import journal_path, open_journal
from tests.jobs import SHORT, work
from tests.journal.disk import tamper


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return lambda *words: CliRunner().invoke(app, list(words))


def test_a_job_at_work_is_told_from_one_that_was_left(tmp_path, run):
    with open_journal(tmp_path) as journal:
        left = work(journal, SHORT, most=3)
        job = work(journal, SHORT, most=3)
        journal.hold(job, journal.first(job).at_ms)
        lines = run("jobs").stdout.splitlines()
        assert [" at work" in line for line in lines[-2:]] == [True, False]
        first, second = json.loads(run("jobs", "--json").stdout)
        assert first["held_by"] == {"bay": "bay1", "machine": platform.node(), "process": os.getpid()}
        assert (first["bay"], second["job"], second["held_by"]) == ("bay1", left, None)
    assert " at work" not in run("jobs").stdout


def test_what_came_since_an_entry_is_shown_alone(tmp_path, run):
    with open_journal(tmp_path) as journal:
        job = work(journal, SHORT, most=10)
        entries = journal.read(job).entries
    behind = json.loads(run("show", job, "--behind", "3", "--json").stdout)["entries"]
    assert [(one["entry"], one["kind"], one["cause"]) for one in behind] == [
        (entry.seq, entry.kind, entry.cause) for entry in entries[3:]
    ]
    assert len(run("show", "--behind", "3").stdout.splitlines()) == len(entries) - 3
    assert run("show", "--behind", str(len(entries))).stdout == ""


def test_entries_that_do_not_go_on_from_there_get_one_sentence(tmp_path, run):
    with open_journal(tmp_path) as journal:
        job = work(journal, SHORT, most=10)
    ahead = run("show", "--behind", "9999")
    assert ahead.exit_code == 6
    assert "has no entry 9999 to go on from" in ahead.stderr
    tamper(journal_path(tmp_path), "UPDATE entry SET at_ms = at_ms + 1 WHERE seq = 5")
    broken = run("show", "--behind", "3")
    assert broken.exit_code == 6
    assert broken.stderr.startswith(f"Entry 5 of job {job} does not fit the chain; the 4 entries before it are good.")
