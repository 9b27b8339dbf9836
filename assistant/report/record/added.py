"""What was added to a job: corrections, readings of the meter, batches; and where each correction belongs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.facts.bay import Corrected, Forgotten, MeterRead, SupplyUsed
from assistant.facts.inputs import Opened
from assistant.journal.port import Entry
from assistant.report.record.model import How, Line, StepLine
from assistant.report.record.printing import Names, describe
from assistant.report.record.values import amount_text, step_of


def added_lines(names: Names, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[Line, ...]:
    """Return what was added; a correction is told with what it corrects."""
    known = {entry.seq: entry for entry in entries}
    found = []
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, Corrected | MeterRead | SupplyUsed | Forgotten):
            old = known.get(fact.entry) if isinstance(fact, Corrected) else None
            what = describe(fact, names) + (f" – instead of: {describe(old.fact, names)}" if old else "")
            found.append(Line(entry.seq, entry.at_ms, _step_of(old, entries) if old else "", what, how[entry.seq]))
    return tuple(found)


def with_corrections(rows: Sequence[StepLine], entries: Sequence[Entry]) -> tuple[StepLine, ...]:
    """Return ``rows`` with each correction beside the results of the step whose entry it corrects."""
    known = {entry.seq: entry for entry in entries}
    told: dict[str, list[str]] = {}
    for entry in entries:
        if isinstance(fact := entry.fact, Corrected) and (old := known.get(fact.entry)):
            words = f"CORRECTED by entry {entry.seq}: {fact.text}"
            told.setdefault(_step_of(old, entries), []).append(words)
    told.pop("", None)
    return tuple(replace(row, results=(*row.results, *told.get(row.id, ()))) for row in rows)


def _step_of(old: Entry, entries: Sequence[Entry]) -> str:
    """Return the step of an entry; of an input, the one of what followed from it."""
    if not old.fact.IS_INPUT:
        return step_of(old.fact)
    return next((step for entry in entries if entry.cause == old.seq and (step := step_of(entry.fact))), "")


def meter_words(entries: Sequence[Entry]) -> str:
    """Return the reading of the job card, and those that were given later."""
    opened = entries[0].fact
    first = f"{amount_text(opened.meter)} {opened.meter_note}".strip() if isinstance(opened, Opened) else ""
    later = [
        f"{'when done' if fact.done else 'later'} {amount_text(fact.meter)} (entry {entry.seq})"
        for entry in entries
        if isinstance(fact := entry.fact, MeterRead)
    ]
    return "; ".join(filter(None, (first, *later)))
