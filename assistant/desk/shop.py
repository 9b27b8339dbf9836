"""What many jobs tell together, for the pages: what is due, which machines there are, and the history of one machine.

Made by :mod:`assistant.desk.record_page` in its own process, as JSON, because it reads whole jobs.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator, Mapping
from itertools import groupby
from typing import Any

from assistant.facts.inputs import Opened
from assistant.journal.port import Entry, JobInfo, JobState, JournalFault, ReadsMany
from assistant.kept.due_jobs import DueLine, due_lines
from assistant.report.due import due_in_words
from assistant.report.history import HISTORY_FACTS, Spread, history_of
from assistant.report.history_words import Words, work_words
from assistant.report.meters import local_day, meter_of, same
from assistant.report.record.forms import took

WITHIN_DAYS = 30
"""What is due in so many days counts as coming, as in ``assistant due``."""
_MOST_ROWS = 15


def shop_list(journal: ReadsMany, what: str, name: str) -> bytes:
    """Return one of :data:`LISTS` as JSON.

    Raises:
        JournalFault: the journal cannot be read, or there is no such machine.
    """
    return json.dumps(LISTS[what](journal, name)).encode()


def _due(journal: ReadsMany, machine: str = "") -> list[Mapping[str, Any]]:
    lines = due_lines(journal, local_day(time.time()), within_days=WITHIN_DAYS, rehearsals=False)
    return [_due_row(one) for one in lines if not machine or same(one.asset) == machine]


def _due_row(one: DueLine) -> Mapping[str, Any]:
    return {
        "state": one.next.state.value,
        "on": one.next.on.isoformat() if one.next.on else "",
        "at": str(one.next.at) if one.next.at else "",
        "why": one.next.why,
        "machine": one.asset,
        "title": one.title,
        "interval": due_in_words(one.interval),
        "done": one.done_on.isoformat() + (f" at {one.done_at}" if one.done_at else ""),
        "job": one.job,
    }


def _machines(journal: ReadsMany, _name: str) -> list[Mapping[str, Any]]:
    """Return the machines by name; how a name was written last counts."""
    infos = {info.id: info for info in journal.scan()}
    found: dict[str, dict[str, Any]] = {}
    for job, entry in journal.find((Opened,)):
        fact, info = entry.fact, infos.get(job)
        if not isinstance(fact, Opened) or info is None or fact.rehearsal or not same(fact.asset):
            continue
        row = found.setdefault(same(fact.asset), {"jobs": 0, "open": 0, "at_ms": 0})
        row["jobs"] += 1
        row["open"] += info.state in (JobState.OPEN, JobState.PAUSED)
        if info.last_at_ms >= row["at_ms"]:
            row |= {"at_ms": info.last_at_ms, "name": fact.asset, "title": fact.title}
    return [found[key] for key in sorted(found)]


def _machine(journal: ReadsMany, name: str) -> Mapping[str, Any]:
    """Return the jobs of one machine, the newest first, what is due on it, and how long its work took."""
    machine = same(name)
    infos = {info.id: info for info in journal.scan()}
    jobs = [(infos[job], entries) for job, entries in _jobs_of(journal, machine) if job in infos]
    if not jobs:
        raise JournalFault(f'There is no job for the machine "{name}".')
    told = history_of([entries for _, entries in jobs])
    words = work_words(told.openings.values())
    opened = jobs[-1][1][0].fact
    return {
        "name": opened.asset if isinstance(opened, Opened) else name,
        "jobs": [_job_row(info, entries) for info, entries in sorted(jobs, key=lambda one: -one[0].opened_at_ms)],
        "due": _due(journal, machine),
        "whole": [_time_row(words.title(key), "", one) for key, one in told.whole.items()],
        "steps": [
            _time_row(words.title(key), words.steps.get((key, step), step), one)
            for (key, step), one in told.steps.items()
        ],
        "trouble": [
            {"title": words.title(key), "step": _step_words(words, key, step), "times": count}
            for (key, step), count in told.trouble.most_common(_MOST_ROWS)
        ],
    }


def _jobs_of(journal: ReadsMany, machine: str) -> Iterator[tuple[str, list[Entry]]]:
    for job, found in groupby(journal.find(HISTORY_FACTS), key=lambda one: one[0]):
        entries = [entry for _, entry in found]
        opened = entries[0].fact
        if isinstance(opened, Opened) and not opened.rehearsal and machine and same(opened.asset) == machine:
            yield job, entries


def _step_words(words: Words, procedure: str, key: str) -> str:
    """Return words for a place of trouble, ``step: what``."""
    step, colon, what = key.partition(": ")
    return f"{words.steps.get((procedure, step), step)}{colon}{what}"


def _job_row(info: JobInfo, entries: list[Entry]) -> Mapping[str, Any]:
    opened = entries[0].fact
    assert isinstance(opened, Opened)
    meter = meter_of(opened)
    return {
        "id": info.id,
        "title": info.title,
        "state": info.state.value,
        "opened_at_ms": info.opened_at_ms,
        "last_at_ms": info.last_at_ms,
        "operator": opened.operator.partition(",")[0].strip(),
        "customer": opened.customer,
        "meter": str(meter) if meter else "",
    }


def _time_row(title: str, step: str, one: Spread) -> Mapping[str, Any]:
    between = f"{took(round(one.low))} to {took(round(one.high))}"
    return {"title": title, "step": step, "times": one.count, "time": took(round(one.median)), "between": between}


LISTS: Mapping[str, Callable[[ReadsMany, str], Any]] = {
    "due": lambda journal, _name: _due(journal),
    "machines": _machines,
    "machine": _machine,
}
