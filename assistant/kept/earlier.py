"""What the journal knows of how long the steps of a procedure took before: for who works, and for all in this bay."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.facts.inputs import Opened
from assistant.facts.people import HandedOver
from assistant.facts.reminders import TimesKnown
from assistant.journal.port import Entry, Journal, JournalFault
from assistant.report.history import HISTORY_FACTS, step_medians

_MOST_JOBS = 30
"""So many jobs are looked at, the newest ones: what was long ago tells less, and opening a job must not take long."""
_KINDS = frozenset([HandedOver.KIND, *(fact.KIND for fact in HISTORY_FACTS)])


def times_before(journal: Journal, procedure: str, operator: str, but: str = "") -> TimesKnown | None:
    """Return the median time of each step in other jobs than ``but`` with the ``procedure`` (id); None for none.

    Rehearsals do not count. The own jobs are those that ``operator`` began and that nobody took over.
    """
    jobs = list(_jobs(journal, procedure, but))
    if not jobs:
        return None
    name = _first(operator)
    own = [entries for entries in jobs if name and _whose(entries) == name]
    return TimesKnown(own=step_medians(own), own_jobs=len(own), bay=step_medians(jobs), bay_jobs=len(jobs))


def _jobs(journal: Journal, procedure: str, but: str) -> Iterator[list[Entry]]:
    names = [
        job
        for job, entry in journal.find((Opened,))
        if isinstance(fact := entry.fact, Opened)
        and fact.procedure_id == procedure
        and not fact.rehearsal
        and job != but
    ]
    for name in names[-_MOST_JOBS:]:
        try:
            entries = [entry for entry in journal.follow(name, 0) if entry.kind in _KINDS]
        except JournalFault:
            continue  # it is damaged, and whoever reads that job is told
        if step_medians([entries]):
            yield entries


def _whose(entries: list[Entry]) -> str:
    """Return who worked on a job from its beginning to its end; "" where that is not one person."""
    if any(isinstance(entry.fact, HandedOver) for entry in entries):
        return ""
    opened = entries[0].fact
    return _first(opened.operator) if isinstance(opened, Opened) else ""


def _first(operators: str) -> str:
    return operators.split(",", maxsplit=1)[0].strip().casefold()
