"""The preparation of a job in its record: what was read out, answered, missing, and acknowledged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.facts.asking import Skipped, SkippedWhat
from assistant.facts.going import HazardAcknowledged, ItemFound, ItemMissing, Prepared
from assistant.journal.port import Entry
from assistant.report.record.extra import belongs, branches_taken
from assistant.report.record.model import How, StepLine, StepStatus
from assistant.report.record.printing import Names
from assistant.report.record.words import far_words
from assistant.session.places import CardPlace, SafetyPlace, places_of


def preparation_rows(names: Names, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[StepLine, ...]:
    """Return each page of the preparation, confirmed or not, with what was missing."""
    rows: list[StepLine] = []
    done = {entry.fact.place: entry for entry in entries if isinstance(entry.fact, Prepared)}
    acknowledged = acknowledged_hazards(entries)
    lacking = _lacking(entries)
    left = {
        fact.place: (entry, fact.reason)
        for entry in entries
        if isinstance(fact := entry.fact, Skipped) and fact.what is SkippedWhat.PLACE
    }
    taken = branches_taken(entries)
    for place in places_of(names.procedure) if names.procedure else ():
        if not belongs(place, taken):
            continue
        entry: Entry | None
        match place:
            case CardPlace(key=key, what=what):
                entry, text, chapter = done.pop(key, None), " · ".join(names.things(key)), what
            case SafetyPlace(key=key, hazards=(hazard,)):
                text = f"{hazard.word.value.upper()}: {hazard.hazard} {hazard.consequence} {hazard.avoid}"
                entry, chapter = acknowledged.get((key, 1)), "safety"
            case _:
                continue
        status = StepStatus.DONE if entry else StepStatus.NOT_DONE
        results: tuple[str, ...] = ()
        if entry and isinstance(entry.fact, HazardAcknowledged) and (cut := far_words(entry.fact)):
            results = (f"acknowledged{cut}",)
        told = lacking.get(key, {})
        if told and entry:
            results = tuple(
                f"missing at first, found (entry {found.seq}): {names.thing(key, number)}"
                if found
                else f"MISSING: {names.thing(key, number)}"
                for number, found in told.items()
            )
            status = StepStatus.DONE if all(told.values()) else StepStatus.DEVIATION
        if entry is None and key in left:
            entry, reason = left[key]
            status, results = StepStatus.LEFT_OUT, (reason,)
        rows.append(
            StepLine(
                key, chapter, "", text, status, entry.seq if entry else None, entry.at_ms if entry else None,
                how[entry.seq] if entry else None, results, times_done=int(status is StepStatus.DONE),
            )
        )  # fmt: skip
    for key, entry in done.items():  # confirmed, but of a procedure that cannot be read any more
        rows.append(StepLine("", key, "", "", StepStatus.DONE, entry.seq, entry.at_ms, how[entry.seq]))
    return tuple(rows)


def _lacking(entries: Sequence[Entry]) -> dict[str, dict[int, Entry | None]]:
    """Return by page and number what was missing: the entry that says that it was found, or None."""
    lacking: dict[str, dict[int, Entry | None]] = {}
    for entry in entries:
        if isinstance(fact := entry.fact, ItemMissing | ItemFound):
            lacking.setdefault(fact.place, {})[fact.number] = entry if isinstance(fact, ItemFound) else None
    return lacking


def acknowledged_hazards(entries: Sequence[Entry]) -> dict[tuple[str, int], Entry]:
    """Return the entries that acknowledge a hazard, by its place (a step, or a page) and number there."""
    return {(fact.place, fact.number): entry for entry in entries if isinstance(fact := entry.fact, HazardAcknowledged)}
