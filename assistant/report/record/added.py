"""What was added to a job: corrections, readings of the meter, batches; and where each correction belongs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.journal.port import Entry
from assistant.report.record.model import How, Line, StepLine
from assistant.report.record.values import printed_value
from assistant.report.record.words import describe
from assistant.session import INPUT_KINDS

_ADDED = ("corrected", "meter", "supply_used", "forgotten")


def added_lines(entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[Line, ...]:
    """Return what was added; a correction is told with what it corrects."""
    known = {entry.seq: entry for entry in entries}
    found = []
    for entry in entries:
        if entry.kind in _ADDED:
            old = known.get(int(entry.data["entry"])) if entry.kind == "corrected" else None
            what = describe(entry.kind, entry.data) + (f" – instead of: {describe(old.kind, old.data)}" if old else "")
            found.append(Line(entry.seq, entry.at_ms, _step_of(old, entries) if old else "", what, how[entry.seq]))
    return tuple(found)


def with_corrections(rows: Sequence[StepLine], entries: Sequence[Entry]) -> tuple[StepLine, ...]:
    """Return ``rows`` with each correction beside the results of the step whose entry it corrects."""
    known = {entry.seq: entry for entry in entries}
    told: dict[str, list[str]] = {}
    for entry in entries:
        if entry.kind == "corrected" and (old := known.get(int(entry.data["entry"]))):
            words = f"CORRECTED by entry {entry.seq}: {entry.data['text']}"
            told.setdefault(_step_of(old, entries), []).append(words)
    told.pop("", None)
    return tuple(replace(row, results=(*row.results, *told.get(row.id, ()))) for row in rows)


def _step_of(old: Entry, entries: Sequence[Entry]) -> str:
    """Return the step of an entry; of what was heard, the one of what followed from it."""
    behind = (entry for entry in entries if entry.seq >= old.seq)
    for entry in behind:
        if entry.data.get("step") or entry.kind not in INPUT_KINDS:
            return str(entry.data.get("step") or "")
    return ""


def meter_words(entries: Sequence[Entry]) -> str:
    """Return the reading of the job card, and those that were given later."""
    opened = entries[0].data
    note = opened.get("meter_note") or ""
    first = " ".join(filter(None, (printed_value(opened.get("meter")), str(note))))
    later = [
        f"{'when done' if entry.data.get('done') else 'later'} {printed_value(entry.data.get('meter'))} "
        f"(entry {entry.seq})"
        for entry in entries
        if entry.kind == "meter"
    ]
    return "; ".join(filter(None, (first, *later)))
