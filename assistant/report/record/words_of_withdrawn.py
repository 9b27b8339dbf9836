"""The words of facts about a procedure that was withdrawn."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import withdrawn
from assistant.journal.port import Entry
from assistant.report.record.printing import Names, prints, prints_asked


@prints(withdrawn.RevisionGone)
def _gone(fact: withdrawn.RevisionGone, _: Names) -> str:
    when = "before the job began" if fact.begins else "known when it was taken up again"
    why = f": {fact.reason}" if fact.reason else ""
    return f"revision {fact.revision} of {fact.procedure} was withdrawn on {fact.on}, {when}{why}"


@prints(withdrawn.BegunAnyhow)
def _anyhow(fact: withdrawn.BegunAnyhow, _: Names) -> str:
    return f"begun anyhow with revision {fact.revision}, which was withdrawn"


@prints_asked(withdrawn.AskAnyhow)
def _ask(question: withdrawn.AskAnyhow, _: Names) -> str:
    return f"begin anyhow with revision {question.revision}, which was withdrawn"


def gone_clause(entries: Sequence[Entry]) -> str:
    """Return what the head of a record says behind the approval, "" where nothing was withdrawn."""
    gone = next((entry.fact for entry in entries if isinstance(entry.fact, withdrawn.RevisionGone)), None)
    if gone is None:
        return ""
    anyhow = any(isinstance(entry.fact, withdrawn.BegunAnyhow) for entry in entries)
    how = "; begun anyhow" if anyhow else "" if gone.begins else ", while the job was open"
    return f"; WITHDRAWN on {gone.on}{how}"
