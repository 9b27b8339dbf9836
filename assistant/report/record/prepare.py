"""The preparation of a job in its record: what was read out, answered, missing, and acknowledged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.journal.port import Entry
from assistant.procedure.model import Procedure
from assistant.report.record.model import How, StepLine
from assistant.report.record.words import heard_words
from assistant.session.places import Card as Preparation
from assistant.session.places import Safety, places_of


def preparation_rows(
    procedure: Procedure | None, entries: Sequence[Entry], how: Mapping[int, How]
) -> tuple[StepLine, ...]:
    """Return each page of the preparation, confirmed or not, with what was missing."""
    rows: list[StepLine] = []
    done = {
        (str(entry.data.get("what")), tuple(entry.data.get("things", ()))): entry
        for entry in entries
        if entry.kind == "prepared"
    }
    acknowledged = acknowledged_hazards(entries)
    lacking = _lacking(entries)
    left = {str(entry.data["place"]): entry for entry in entries if entry.kind == "skipped" and entry.data.get("place")}
    for place in places_of(procedure) if procedure else ():
        entry: Entry | None
        match place:
            case Preparation(key=key, what=what, things=things):
                entry, text, chapter = done.pop((what, things), None), " · ".join(things), what
            case Safety(key=key, hazards=(hazard,)):
                text, chapter = (
                    f"{hazard.word.value.upper()}: {hazard.hazard} {hazard.consequence} {hazard.avoid}",
                    "safety",
                )
                entry = acknowledged.get((key, 1))
            case _:
                continue
        status = "done" if entry else "not done"
        results: tuple[str, ...] = ()
        if entry and (cut := heard_words(entry.data)):
            results = (f"acknowledged{cut}",)
        told = lacking.get(key, {})
        if told and entry:
            results = tuple(
                f"missing at first, found (entry {found.seq}): {thing}" if found else f"MISSING: {thing}"
                for thing, found in told.values()
            )
            status = "done" if all(found for _, found in told.values()) else "deviation"
        if entry is None and (out := left.get(key)):
            entry, status, results = out, "left out", (str(out.data.get("reason", "")),)
        rows.append(
            StepLine(
                key, chapter, "", text, status, entry.seq if entry else None, entry.at_ms if entry else None,
                how[entry.seq] if entry else None, results, times_done=int(status == "done"),
            )
        )  # fmt: skip
    for (what, things), entry in done.items():  # confirmed, but of a procedure that cannot be read any more
        rows.append(StepLine("", what, "", "; ".join(things), "done", entry.seq, entry.at_ms, how[entry.seq]))
    return tuple(rows)


def _lacking(entries: Sequence[Entry]) -> dict[str, dict[int, tuple[str, Entry | None]]]:
    """Return by page and number what was missing, with the entry that says that it was found (None: it was not)."""
    lacking: dict[str, dict[int, tuple[str, Entry | None]]] = {}
    for entry in entries:
        if entry.kind in ("item_missing", "item_found"):
            page = lacking.setdefault(str(entry.data["place"]), {})
            page[int(entry.data["number"])] = str(entry.data["thing"]), entry if entry.kind == "item_found" else None
    return lacking


def acknowledged_hazards(entries: Sequence[Entry]) -> dict[tuple[str, int], Entry]:
    """Return the entries that acknowledge a hazard, by its place (a step, or a page) and number there."""
    return {
        (str(entry.data["place"]), int(entry.data["number"])): entry
        for entry in entries
        if entry.kind == "hazard_acknowledged"
    }
