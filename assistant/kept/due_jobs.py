"""What is due again over all jobs of a journal: the last job of each machine and procedure counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import groupby

from assistant.facts.bay import MeterRead
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened
from assistant.journal.port import ReadsMany
from assistant.procedure.format.reader import read_kept
from assistant.procedure.model import Interval
from assistant.report.due import DueState, Meter, Next, Seen, next_due
from assistant.report.meters import done_at, local_day, readings, same


@dataclass(frozen=True, slots=True)
class DueLine:
    """One machine and procedure: the last job that did it, and when that is due again."""

    job: str
    asset: str
    title: str
    done_on: date
    done_at: Meter | None
    interval: Interval
    next: Next


@dataclass(slots=True)
class _Job:
    opened: Opened
    meter: Meter | None
    closed_ms: int = 0


def due_lines(journal: ReadsMany, today: date, *, within_days: int, rehearsals: bool, job: str = "") -> list[DueLine]:
    """Return what is due again as of ``today``, the most urgent first; with ``job``, of that job alone.

    Only the last closed job of a machine and a procedure counts.

    Raises:
        JournalFault: the journal cannot be read.
    """
    seen = readings(journal, rehearsals=rehearsals)
    lines = []
    for name, one in _last_jobs(_jobs(journal, rehearsals=rehearsals, only=job)):
        interval = _interval(one.opened)
        if interval is None:
            continue
        asset = one.opened.asset
        done_on = local_day(one.closed_ms / 1000)
        known: Sequence[Seen] = seen.get(same(asset), []) if asset else [Seen(done_on, one.meter)] if one.meter else []
        due = next_due(interval, done_on, one.meter, known, today, within_days)
        title = one.opened.title
        lines.append(DueLine(name, asset, title, done_on, one.meter, interval, due))
    order = list(DueState)
    return sorted(lines, key=lambda line: (order.index(line.next.state), line.next.on or date.max, line.job))


def _jobs(journal: ReadsMany, *, rehearsals: bool, only: str) -> dict[str, _Job]:
    jobs: dict[str, _Job] = {}
    for name, found in groupby(journal.find((Opened, Closed, MeterRead)), key=lambda one: one[0]):
        entries = [entry for _, entry in found]
        opened = entries[0].fact
        if not isinstance(opened, Opened) or (only and name != only):
            continue
        if rehearsals or only or not opened.rehearsal:
            closed = next((entry.at_ms for entry in entries if isinstance(entry.fact, Closed)), 0)
            jobs[name] = _Job(opened, done_at(entries), closed)
    return jobs


def _last_jobs(jobs: dict[str, _Job]) -> list[tuple[str, _Job]]:
    last: dict[tuple[str, str], tuple[str, _Job]] = {}
    for name, one in sorted(jobs.items(), key=lambda item: item[1].closed_ms):
        if one.closed_ms:
            asset = same(one.opened.asset)
            last[asset or name, one.opened.procedure_id] = (name, one)
    return list(last.values())


def _interval(opened: Opened) -> Interval | None:
    return None if "due:" not in opened.procedure_yaml else _interval_in(opened.procedure_yaml, opened.procedure_file)


@lru_cache(maxsize=256)
def _interval_in(yaml: str, file: str) -> Interval | None:
    """Return the interval of a procedure; many jobs keep a copy of the same one."""
    procedure = read_kept(yaml.encode(), file).procedure
    return None if procedure is None else procedure.due
