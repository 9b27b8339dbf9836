"""Jobs that were opened under the first rules go on, entry by entry as they were written."""

import json

from assistant.bay.job import rebuild_session
from assistant.events import Heard, Limits, Record
from assistant.journal.port import Entry
from tests.whole_jobs.talks import ROOT

OLD = ROOT / "tests" / "bay" / "old_jobs" / "coolant-pump-cover.jsonl"
"""Written by the version before tools, readings at bolts and new fasteners; a mechanic who also leaves a bolt out."""


def entries() -> list[Entry]:
    lines = OLD.read_text("utf-8").splitlines()
    return [Entry(prev="", hash="", **json.loads(line)) for line in lines]


def test_a_whole_old_job_is_built_again():
    assert rebuild_session(entries(), Limits()).closed


def test_an_old_job_that_was_left_in_mid_stage_goes_on_and_writes_as_it_did():
    old = entries()
    cut = next(at for at, entry in enumerate(old) if entry.kind == "run_tightened")
    begun = next(at for at in range(cut, 0, -1) if old[at].kind in ("heard", "clock", "opened"))
    session = rebuild_session(old[:begun], Limits())
    heard = old[begun]
    at = heard.at_ms / 1000
    effects = session.hear(Heard(heard.data["text"], 0.95, at - 1.0, at), at)
    records = [effect for effect in effects if isinstance(effect, Record)]
    assert [(record.kind, dict(record.data)) for record in records] == [
        (entry.kind, entry.data) for entry in old[begun : begun + len(records)]
    ]
