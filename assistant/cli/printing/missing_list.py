"""What a job lacked: told in the preparation, and found or not found later."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from assistant.bay.refusing import guarded
from assistant.facts.going import ItemFound, ItemMissing
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.report.record.build import opening_of, procedure_of
from assistant.report.record.printing import Names
from assistant.settings import home
from assistant.terminal.exits import Exit
from assistant.terminal.tables import table
from assistant.visible import cell, in_json

MISSING_COLUMNS = ("what", "thing", "missing_since", "found")
"""Columns of the list; times are ISO 8601 with offset, ``found`` is empty while a thing is missing."""


def print_missing(job: str, form: str) -> Exit:
    """Print what was missing in ``job`` as ``form``: text, json or csv."""
    return guarded(lambda: _missing(job, form))


def _missing(job: str, form: str) -> Exit:
    with open_journal(home(), read_only=True) as journal:
        entries = journal.read(job).entries
    rows = missing_rows(entries)
    if form == "json":
        print(in_json(json.dumps(rows, ensure_ascii=False, indent=2)))
    elif form == "csv":
        text = io.StringIO()
        writer = csv.DictWriter(text, MISSING_COLUMNS)
        writer.writeheader()
        writer.writerows({key: cell(value) for key, value in row.items()} for row in rows)
        print(text.getvalue(), end="")
    elif not rows:
        print("Nothing was missing.")
    else:
        shown = [(row["what"], row["thing"], row["missing_since"], row["found"] or "STILL MISSING") for row in rows]
        print(table(("what", "thing", "missing since", "found"), shown))
    return Exit.OK


def missing_rows(entries: Sequence[Entry]) -> list[Mapping[str, Any]]:
    """Return one row of COLUMNS for each time that something was missing, in the order in which that was told."""
    names = Names(procedure_of(opening_of(entries)))
    rows: list[dict[str, Any]] = []
    open_rows: dict[tuple[str, int], dict[str, Any]] = {}
    for entry in entries:
        fact = entry.fact
        if not isinstance(fact, ItemMissing | ItemFound):
            continue
        key = fact.place, fact.number
        at = datetime.fromtimestamp(entry.at_ms / 1000).astimezone().isoformat(timespec="seconds")
        if isinstance(fact, ItemMissing):
            what, thing = fact.place.partition(":")[0], names.thing(fact.place, fact.number)
            row = {"what": what, "thing": thing, "missing_since": at, "found": ""}
            open_rows[key] = row
            rows.append(row)
        elif key in open_rows:
            open_rows.pop(key)["found"] = at
    return list(rows)
