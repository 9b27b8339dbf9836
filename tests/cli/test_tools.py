"""The bay's tool file: read with its lines, kept with the job, and clicks counted from the journal, never twice."""

import contextlib
import hashlib
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.bay.job_opening import open_job, resume_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Heard, Thresholds
from assistant.facts.inputs import Resumed
from assistant.facts.kinds.tighten import BoltsTightened
from assistant.journal.opening import journal_path, open_journal
from assistant.kept.tool_facts import clicks_since
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.format.tool_file import read_tool_file, read_tool_text
from assistant.settings import Settings
from assistant.terminal.exits import Refusal
from tests.fakes.mechanic import next_words
from tests.fakes.silent_speaker import SilentSpeaker
from tests.journal import independent
from tests.whole_jobs.talks import ROOT

PROCEDURE = ROOT / "procedures" / "gearbox-side-cover.yaml"
TOOLS = ROOT / "procedures" / "tools" / "practice-bay.yaml"
NOON = 1_795_000_000.0  # 2026-11-18, after the calibrations of the practice bay
CLICKS = 12 + 12 + 2  # two stages of twelve cover bolts, and the torque stage of two end bolts; an angle has no click


OPEN = contextlib.ExitStack()
"""The journals that a test has open."""


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    with OPEN:
        yield tmp_path


def opened(home: Path, tools=TOOLS, now=NOON, **facts):
    settings = Settings(tools=str(tools))
    reading = read_procedure(PROCEDURE)
    return open_job(
        OPEN.enter_context(open_journal(home)), reading, PROCEDURE.name, settings, Thresholds(), now, **facts
    )


def lead(job, now, until=lambda view: False):
    """Let a careful mechanic go on until ``until`` holds or the job is closed; return the time."""
    runner = JobRunner(job, SilentSpeaker(), Screen())
    runner.begin(now)
    while not runner.closed and not until(runner.session.view(now)):
        now += 2.0
        runner.hear(Heard(next_words(runner.session.view(now)), 0.95, now - 1.0, now), now)
    return now


def tightened_with(job):
    """Return the tool of everything that was tightened, in order."""
    return [entry.fact.tool for entry in job.job.entries() if isinstance(entry.fact, BoltsTightened)]


def count(home):
    with open_journal(home, read_only=True) as journal:
        return clicks_since(read_tool_file(TOOLS).box, journal)


def test_every_confirmed_click_counts_once_across_jobs_whatever_is_resumed(home):
    job = opened(home)
    now = lead(job, NOON, until=lambda view: view.get("tighten") and view["tighten"]["stage"] == 2)
    assert count(home) == {"small-wrench": 12}
    for _ in range(3):
        job.job.close()
        job = resume_job(OPEN.enter_context(open_journal(home)), job.job.id, Thresholds(), now)
    assert count(home) == {"small-wrench": 12}
    lead(job, now)
    assert count(home) == {"small-wrench": CLICKS}
    job.job.close()
    again = opened(home, now=now + 60)
    assert again.job.entries()[0].fact.tools.clicks == {"small-wrench": CLICKS}
    lead(again, now + 60)
    assert count(home) == {"small-wrench": 2 * CLICKS}


def test_a_bolt_that_clicked_twice_counts_twice(home):
    job = opened(home)
    now = lead(job, NOON, until=lambda view: view.get("tighten") and len(view["tighten"]["done"]) == 4)
    for words in ("go back", "next"):
        now += 2.0
        job.job.append(job.session.hear(Heard(words, 1.0, now - 1.0, now), now).facts, round(now * 1000))
    assert count(home) == {"small-wrench": 8}


def test_rehearsals_and_clicks_before_the_calibration_do_not_count(home):
    lead(opened(home, rehearsal=True), NOON)
    assert count(home) == {}
    before = 1_770_000_000.0  # 2026-02-02, before the calibrations
    lead(opened(home, now=before), before)
    assert count(home) == {}


def test_a_job_keeps_its_tools_byte_for_byte_and_goes_on_with_them(home):
    mine = home / "tools.yaml"
    mine.write_bytes(TOOLS.read_bytes())
    job = opened(home, tools="")  # the usual place
    kept = job.job.entries()[0].fact.tools
    assert kept.yaml.encode() == TOOLS.read_bytes()
    assert kept.sha256 == hashlib.sha256(TOOLS.read_bytes()).hexdigest()
    now = lead(job, NOON, until=lambda view: view.get("tighten"))
    job.job.close()
    mine.write_text("broken: [", "utf-8")
    job = resume_job(OPEN.enter_context(open_journal(home)), job.job.id, Thresholds(), now)
    lead(job, now)
    assert count(home) == {"small-wrench": CLICKS}


def test_without_a_tool_file_nothing_of_it_is_kept(home):
    job = opened(home, tools="")
    assert job.job.entries()[0].fact.tools is None
    lead(job, NOON)
    assert set(tightened_with(job)) == {None}


def test_another_tool_file_from_the_middle_on(home):
    job = opened(home)
    now = lead(job, NOON, until=lambda view: view.get("tighten") and view["tighten"]["stage"] == 2)
    job.job.close()
    other = home / "other.yaml"
    other.write_text(
        "wrenches: [{id: spare, name: spare wrench, type: II A, unit: N·m, low: 5, high: 50, graduation: 0.5,"
        " lever: 250 mm, calibrated: 2026-06-01}]\nadapters: [{id: c, name: crowfoot, length: 35 mm}]\n",
        "utf-8",
    )
    job = resume_job(OPEN.enter_context(open_journal(home)), job.job.id, Thresholds(), now, str(other))
    lead(job, now)
    assert tightened_with(job) == ["small-wrench"] * 3 + ["spare"] * 4 + [None]


def test_clicks_of_the_job_itself_are_no_clicks_of_other_jobs_in_a_tool_file_named_later(home):
    """The job counts its own; counted once more, a wrench would seem due for calibration too early."""
    job = opened(home)
    now = lead(job, NOON, until=lambda view: view.get("tighten") and view["tighten"]["stage"] == 2)
    job.job.close()
    assert count(home) == {"small-wrench": 12}
    job = resume_job(OPEN.enter_context(open_journal(home)), job.job.id, Thresholds(), now, str(TOOLS))
    kept = [entry.fact for entry in job.job.entries() if isinstance(entry.fact, Resumed)]
    assert [fact.tools.clicks for fact in kept] == [{}]


def test_a_tool_file_with_errors_opens_no_job(home):
    broken = home / "broken.yaml"
    broken.write_text("wrenches:\n  - {id: w, name: wrench}\n", "utf-8")
    with pytest.raises(Refusal) as refusal:
        opened(home, tools=broken)
    says = f"{broken}:2:5: error: This wrench has no unit: write unit: with a value. [missing-key]"
    assert says in refusal.value.sentence
    with open_journal(home) as journal:
        assert list(journal.scan()) == []


@pytest.mark.parametrize(
    ("text", "line", "column", "says"),
    [
        ("wrenches: {}\n", 1, 11, "begin with a hyphen"),
        ("spanners: []\n", 1, 1, "write one of: adapters"),
        ("- a\n", 1, 1, "write lists named"),
        ("", 1, 1, "list the tools"),
        ("gauges:\n  - {id: g, name: g, graduation: 2 mm}\n", 2, 34, "angle"),
        ("gauges:\n  - {id: g, name: a/b, graduation: 2°}\n", 2, 19, "the name is spoken"),
        ("gauges:\n  - {id: g, name: a, graduation: 2°}\n  - {id: g, name: b, graduation: 1°}\n", 3, 10, "used twice"),
        ("gauges: [{id: &a g, name: a, graduation: 2°}]\n", 1, 15, "anchor"),
        ("gauges:\n - id: g\n   id: h\n", 3, 4, "stands twice"),
        ("sockets:\n  - {id: s, name: s, size: ''}\n", 2, 28, "text of size is empty"),
    ],
)
def test_every_complaint_has_its_line_and_column(text, line, column, says):
    reading = read_tool_text(text.encode(), "t.yaml")
    assert reading.box is None
    assert [(found.line, found.column) for found in reading.findings if says in found.text] == [(line, column)]


def run(home, *arguments):
    return subprocess.run(
        [sys.executable, "-m", "assistant", *arguments],
        cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)}, capture_output=True, text=True,
    )  # fmt: skip


def test_the_command_prints_the_tools_with_their_counts(home):
    lead(opened(home), NOON)
    printed = run(home, "tools", str(TOOLS))
    assert (printed.returncode, printed.stderr) == (0, "")
    row = next(line for line in printed.stdout.splitlines() if line.startswith("small-wrench"))
    assert f"{240 + CLICKS} of 5000" in row
    assert "2027-05-04" in row


def test_the_command_says_what_to_do_when_there_is_no_file_or_a_wrong_one(home):
    none = run(home, "tools")
    assert none.returncode == 2
    assert f"write one to {home / 'tools.yaml'}" in none.stderr
    (home / "tools.yaml").write_text("wrenches: 5\n", "utf-8")
    wrong = run(home, "tools")
    assert (wrong.returncode, wrong.stdout) == (4, "")
    assert "tools.yaml:1:11: error:" in wrong.stderr


def test_the_journal_of_a_job_with_tools_holds_by_itself(home):
    job = opened(home)
    lead(job, NOON)
    entries = independent.check(home, job.job.id)
    assert json.dumps(entries[-1][2])


def test_no_job_begins_with_a_tool_file_that_has_errors(home):
    (home / "tools.yaml").write_text("wrenches: 5\n", "utf-8")
    started = run(home, "run", str(PROCEDURE))
    assert (started.returncode, started.stdout) == (4, "")
    assert "tools.yaml:1:11: error:" in started.stderr
    assert not journal_path(home).exists()


def test_a_rehearsal_goes_on_only_with_a_rehearsal_of_the_same_procedure(home):
    talk = str(ROOT / "audio_fixtures" / "gearbox-side-cover-resumed.flac")
    real = opened(home, rehearsal=False)
    other = opened(home, rehearsal=True)
    real.job.close()
    other.job.close()
    refused = run(home, "rehearse", str(PROCEDURE), "--audio-in", talk, "--job", real.job.id)
    assert refused.returncode == 2
    assert f"is no rehearsal; go on with: assistant resume {real.job.id}" in refused.stderr
    wrong = ROOT / "procedures" / "coolant-pump-cover.yaml"
    refused = run(home, "rehearse", str(wrong), "--audio-in", talk, "--job", other.job.id)
    assert refused.returncode == 2
    assert "give that file, unchanged" in refused.stderr


@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_the_day_of_a_calibration_does_not_depend_on_the_time_zone_of_the_computer(home, monkeypatch, zone):
    calibrated = 1_796_083_200.0  # 2026-12-01T00:00 UTC
    box = read_tool_text(TOOLS.read_bytes().replace(b"2026-05-04", b"2026-12-01"), "t").box
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        for now in (calibrated - 8 * 3600.0, calibrated + 8 * 3600.0):  # the day before, and the day itself, in UTC
            lead(opened(home, now=now), now)
        with open_journal(home, read_only=True) as journal:
            assert clicks_since(box, journal) == {"small-wrench": CLICKS}
    finally:
        monkeypatch.undo()
        time.tzset()
