"""Jobs that were opened under older rules go on, entry by entry as they were written."""

import json
from pathlib import Path

import pytest

from assistant.bay.job_opening import rebuild_session
from assistant.events import Heard, Limits, Record
from assistant.journal.port import Entry
from tests.whole_jobs.talks import ROOT

JOBS = ROOT / "tests" / "bay" / "old_jobs"
FIRST = JOBS / "coolant-pump-cover.jsonl"
"""Written by the version before tools, readings at bolts and new fasteners; a mechanic who also leaves a bolt out."""
CLOSED = (FIRST, JOBS / "coolant-pump-cover-2.jsonl")
STOPPED = (FIRST, JOBS / "coolant-pump-cover-2.jsonl", JOBS / "gearbox-side-cover-2.jsonl")
"""Those that end in 2 were written under the second rules; the last with a tool file, left open."""


def entries(path: Path) -> list[Entry]:
    lines = path.read_text("utf-8").splitlines()
    return [Entry(prev="", hash="", **json.loads(line)) for line in lines]


@pytest.mark.parametrize("path", CLOSED, ids=lambda path: path.stem)
def test_a_whole_old_job_is_built_again(path):
    assert rebuild_session(entries(path), Limits()).closed


@pytest.mark.parametrize("path", STOPPED, ids=lambda path: path.stem)
def test_an_old_job_that_was_left_in_mid_stage_goes_on_and_writes_as_it_did(path):
    old = entries(path)
    cut = next(at for at, entry in enumerate(old) if entry.kind == "run_tightened")
    begun = next(at for at in range(cut, 0, -1) if old[at].kind in ("heard", "clock", "opened"))
    session = rebuild_session(old[:begun], Limits())
    heard = old[begun]
    at = heard.at_ms / 1000
    said = heard.data
    spoken = Heard(said["text"], float(said["confidence"]), said["started_ms"] / 1000, said["ended_ms"] / 1000)
    effects = session.hear(spoken, at)
    records = [effect for effect in effects if isinstance(effect, Record)]
    assert [(record.kind, json.loads(json.dumps(record.data))) for record in records] == [
        (entry.kind, entry.data) for entry in old[begun : begun + len(records)]
    ]
