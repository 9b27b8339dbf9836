"""One line about a job, from its entries alone."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.journal.port import Entry, JobInfo

STATES = {"paused": "paused", "carried_on": "open", "closed": "closed"}
"""The entry kinds that change the state of a job, and what it is after them."""


def summarise(name: str, entries: Sequence[Entry]) -> JobInfo:
    """Return the line about the job ``name``; an entry kind that is not in STATES leaves the state as it was."""
    opened = entries[0].data if entries and entries[0].kind == "opened" else {}
    state = "open"
    for entry in entries:
        state = STATES.get(entry.kind, state)
    return JobInfo(
        id=name,
        title=str(opened.get("title", "")),
        procedure_id=str(opened.get("procedure_id", "")),
        opened_at_ms=entries[0].at_ms if entries else 0,
        last_at_ms=entries[-1].at_ms if entries else 0,
        state=state,
        entries=len(entries),
        rehearsal=bool(opened.get("rehearsal", False)),
    )
