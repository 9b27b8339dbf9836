"""What a job keeps of its files was checked when it began: rules that came later are not held against it."""

from dataclasses import replace
from datetime import date
from hashlib import sha256

import pytest

from assistant.events import Thresholds
from assistant.facts.inputs import ToolFile
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.kept.due_jobs import due_lines
from assistant.kept.rebuilding import rebuild_session
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.tool_file import read_kept_tools, read_tool_text
from assistant.report.record.build import build_record
from tests.jobs import SHORT, work
from tests.whole_jobs.talks import ROOT

TOOLS = (ROOT / "procedures" / "tools" / "practice-bay.yaml").read_text("utf-8")
GEARBOX = ROOT / "procedures" / "gearbox-side-cover.yaml"


@pytest.fixture
def journal(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    with open_journal(tmp_path) as journal:
        yield journal


def kept(entries: list[Entry], key: str, text: str) -> list[Entry]:
    """Return the entries of a job that began when ``text`` was a good file."""
    return [replace(entries[0], data={**entries[0].data, key: text}), *entries[1:]]


def test_an_old_job_keeps_its_record_and_its_due_day_under_a_rule_that_came_later(journal):
    text = SHORT.read_text("utf-8").replace("source: ", "source: TBD # ", 1)
    assert read_text(text.encode(), "x").procedure is None  # a rule of today refuses it
    job = work(journal, SHORT, procedure_yaml=text, asset="Van 7")
    entries = journal.read(job).entries
    record = build_record(job, entries)
    assert record.card.approval != "unknown: the procedure in the journal cannot be read by this version"
    assert record.open == build_record(job, kept(entries, "procedure_yaml", SHORT.read_text("utf-8"))).open
    assert all(row.status == "done" for row in record.steps)
    (line,) = due_lines(journal, date(2026, 11, 26), within_days=60, rehearsals=False)
    assert line.interval.months == 48


LATER_RULES = {
    "a name that is not spoken well": ("name: small wrench", "name: small/wrench"),
    "a field that is no more": ("name: small wrench", "name: small wrench\n    colour: red"),
    "two tools of one id": ("{id: multiplier, ", "{id: large-wrench, "),
}


@pytest.mark.parametrize(("old", "new"), LATER_RULES.values(), ids=LATER_RULES)
def test_an_old_job_goes_on_with_its_own_tools_and_names_them_in_the_record(journal, old, new):
    text = TOOLS.replace(old, new, 1)
    assert text != TOOLS
    assert read_tool_text(text.encode(), "x").box is None
    tools = ToolFile("tools.yaml", text, sha256(text.encode()).hexdigest(), {})
    job = work(journal, GEARBOX, tools=tools)
    entries = journal.read(job).entries
    assert rebuild_session(entries, Thresholds()).closed
    (wrench,) = (row for row in build_record(job, entries).tools if row.id == "small-wrench")
    assert wrench.state.startswith("in date until ")


def test_a_value_that_cannot_be_read_is_never_guessed_at():
    assert read_kept_tools(TOOLS.encode(), "x") is not None
    for line in ("    high: many", "    high:"):
        lines = TOOLS.splitlines()
        at = next(number for number, one in enumerate(lines) if one.strip().startswith("high:"))
        lines[at] = line
        assert read_kept_tools("\n".join(lines).encode(), "x") is None
