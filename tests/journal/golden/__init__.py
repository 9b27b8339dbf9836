"""Golden journals: jobs as this or an earlier version stored them. They are kept for good, and never changed.

Each is a file of SQL that holds the whole database exactly as it was, and beside it a file of JSON with what must come
of it: the head of its chain, where the job is and what was done. ``python -m tests.journal.golden NAME`` makes a new
one, as ``making.py`` says.

The records of the jobs may change on purpose: ``python -m tests.journal.golden --records`` notes their digests anew,
and ``--record NAME`` prints one, to be compared with what an earlier version prints.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from assistant.events import Thresholds
from assistant.journal.opening import journal_path, open_journal
from assistant.journal.port import Entry
from assistant.kept.rebuilding import rebuild_session
from assistant.report.record.made import make
from assistant.session.state import State

FOLDER = Path(__file__).parent
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.sql")))
RECORDS = FOLDER / "records.json"
"""The digests of the records."""

_MARKS = ("application_id", "user_version")


def dumped(folder: Path) -> str:
    """Return the database in the data folder ``folder`` as SQL; :func:`load` makes the same of it."""
    with closing(sqlite3.connect(journal_path(folder))) as db:
        marks = [f"PRAGMA {mark} = {db.execute(f'PRAGMA {mark}').fetchone()[0]};" for mark in _MARKS]
        return "\n".join([*marks, *db.iterdump()]) + "\n"


def load(name: str, folder: Path) -> Path:
    """Make the database of the golden journal ``name`` in ``folder``, and return that folder, as a data folder."""
    folder.mkdir(parents=True, exist_ok=True)
    with closing(sqlite3.connect(journal_path(folder))) as db:
        db.executescript((FOLDER / f"{name}.sql").read_text("utf-8"))
    return folder


def summary(folder: Path) -> dict[str, Any]:
    """Return what must come of the journal in ``folder``, for ever, whatever rules and sentences become."""
    with open_journal(folder, read_only=True) as journal:
        job = journal.resolve("last")
        verdict, entries = journal.verify(job), journal.read(job).entries
    session = rebuild_session(entries, Thresholds())
    view = session.view(entries[-1].at_ms / 1000)
    kinds: dict[str, int] = {}
    for entry in entries:
        kinds[entry.kind] = kinds.get(entry.kind, 0) + 1
    return {
        "job": job,
        "good": verdict.good,
        "entries": verdict.entries,
        "head": verdict.head,
        "kinds": dict(sorted(kinds.items())),
        "phase": view["phase"],
        "progress": view["progress"],
        "state": _state(session.state),
    }


def _state(state: State) -> dict[str, Any]:
    """Return what was done, in plain values: names here are those of the golden files, not those of the class."""
    return {
        "place": state.place,
        "closed": state.closed,
        "paused": state.paused,
        "waits": state.waiting is not None or state.dictation is not None,
        "unit": state.unit.value if state.unit else "",
        "hazards": sorted([place, index + 1] for place, index in state.acknowledged),
        "prepared": sorted(state.prepared),
        "missing": _rows(state.missing),
        "gone_without": _rows(state.without),
        "operator": state.operator,
        "operators": list(state.operators),
        "notes": [[one.kind, one.step, one.words] for one in state.told],
        "done": sorted(state.done),
        "skipped": dict(sorted(state.skipped.items())),
        "counts": dict(sorted(state.counts.items())),
        "answers": dict(sorted(state.answers.items())),
        "fitted": dict(sorted(state.fitted.items())),
        "deviations": sorted(state.deviations),
        "next_bolt": {
            step: None if at is None else [at.turn, at.run, at.bolt] for step, at in sorted(state.at_bolt.items())
        },
        "bolts": _rows(state.bolts),
        "bolts_skipped": [[*bolt, why] for bolt, why in sorted(state.bolts_skipped.items())],
        "readings_open": _rows(state.off),
        "readings_accepted": _rows(state.off_accepted),
        "new": _rows(state.renewed),
        "turned": _rows(state.turned),
        "worn": _rows(state.worn),
        "held": [[*bolt, one.what.value, one.given_up] for bolt, one in sorted(state.held.items())],
        "dropped": [[number, one.group, one.bolt, one.answered] for number, one in sorted(state.dropped.items())],
        "clicks": dict(sorted(state.clicks.items())),
        "timers": {
            name: {"ends_ms": one.ends_ms, "over": one.over, "stopped": one.stopped}
            for name, one in sorted(state.timers.items())
        },
        "late_accepted": _rows(state.late_accepted),
        **_tables(state),
    }


def _tables(state: State) -> dict[str, Any]:
    """Return what was read off in tables; nothing for a job without any, as the first ones were."""
    if not state.cells and not state.cells_left_out:
        return {}
    return {
        "cells": [[*cell, str(one.reading.value), one.side] for cell, one in sorted(state.cells.items())],
        "cells_left_out": [[*cell, why] for cell, why in sorted(state.cells_left_out.items())],
    }


def written(found: dict[str, Any]) -> str:
    """Return a summary as it stands in its file: a line for each part."""
    lines = [f" {json.dumps(key)}: {json.dumps(value, ensure_ascii=False)}" for key, value in found["state"].items()]
    rest = [f"{json.dumps(key)}: {json.dumps(value)},\n" for key, value in found.items() if key != "state"]
    return "{\n" + "".join(rest) + '"state": {\n' + ",\n".join(lines) + "\n}}\n"


def _rows(values: Any) -> list[list[Any]]:
    return sorted(list(value) for value in values)


def record(name: str, entries: Sequence[Entry]) -> str:
    """Return the record of the golden job ``name`` as JSON, with times in UTC."""
    return make(name, entries, paper="a4", clock=0).form("json").decode()


def digest(text: str) -> str:
    """Return the SHA-256 of ``text``."""
    return hashlib.sha256(text.encode()).hexdigest()


def record_of(name: str, folder: Path) -> str:
    """Return the record of the golden journal ``name``, opened in the empty folder ``folder``."""
    with open_journal(load(name, folder), read_only=True) as journal:
        job = journal.resolve("last")
        return record(job, journal.read(job).entries)
