"""One line about a job, from its first and last entry alone, so that a long list stays quick."""

from __future__ import annotations

import json
from collections.abc import Mapping

from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.inputs import Opened
from assistant.journal.chain import Stored
from assistant.journal.port import JobInfo, JobState

STATES: Mapping[str, JobState] = {
    Paused.KIND: JobState.PAUSED,
    CarriedOn.KIND: JobState.OPEN,
    Closed.KIND: JobState.CLOSED,
}
"""The entry kinds that change the state of a job, and what it is after them."""


def summarise(name: str, bay: str, first: Stored, last: Stored, turn: str) -> JobInfo:
    """Return the line about the job ``name``; ``turn`` is its last kind that is in STATES ("" when there is none)."""
    opened = json.loads(first.data) if first.kind == Opened.KIND else {}
    return JobInfo(
        id=name,
        title=str(opened.get("title", "")),
        procedure_id=str(opened.get("procedure_id", "")),
        opened_at_ms=first.at_ms,
        last_at_ms=last.at_ms,
        state=STATES.get(turn, JobState.OPEN),
        entries=last.seq,
        rehearsal=opened.get("rehearsal") is True,
        bay=bay,
    )


def unreadable(name: str, bay: str) -> JobInfo:
    """Return the line about a job whose beginning or end cannot be read."""
    return JobInfo(name, "", "", 0, 0, JobState.DAMAGED, 0, bay=bay)
