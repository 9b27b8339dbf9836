"""What is due again over all jobs: printed, or as a calendar file."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import groupby
from typing import Any

from assistant.bay.job import guarded
from assistant.cli.printing.options import DueOptions
from assistant.facts.bay import MeterRead
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened
from assistant.journal.opening import open_journal
from assistant.journal.port import Journal
from assistant.procedure.model import Interval
from assistant.report.calendar_file import Reminder, calendar_file
from assistant.report.due import DueState, Meter, Next, Seen, due_in_words, next_due
from assistant.report.meters import done_at, local_day, readings, same
from assistant.report.record.build import procedure_of
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.terminal.tables import objects, print_json, table

_MOST_DAYS = 36_500


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


def due_lines(journal: Journal, today: date, *, within_days: int, rehearsals: bool, job: str = "") -> list[DueLine]:
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


def _jobs(journal: Journal, *, rehearsals: bool, only: str) -> dict[str, _Job]:
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
    if "due:" not in opened.procedure_yaml:
        return None
    procedure = procedure_of(opened)
    return None if procedure is None else procedure.due


def print_due(options: DueOptions) -> Exit:
    """Print what is due within so many days, and write the calendar file of all that has a day if it is wanted."""
    return guarded(lambda: _due(options))


def _due(options: DueOptions) -> Exit:
    within_days, ics, force = options.within, options.ics, options.force
    if not 0 <= within_days <= _MOST_DAYS:
        raise Refusal(f"--within {within_days} is out of range; give 0 to {_MOST_DAYS} days.", Exit.USAGE)
    if ics is not None:
        check_free(ics, force=force, form="ics")
    now = time.time()
    with open_journal(home(), read_only=True) as journal:
        lines = due_lines(journal, local_day(now), within_days=within_days, rehearsals=options.rehearsals)
    if options.as_json:
        print_json([{**row, "why_not_known": one.next.why} for one, row in zip(lines, _objects(lines), strict=True)])
    elif not lines:
        print("Nothing is due: no closed job has a procedure with an interval (its key due).")
    else:
        print(table(_HEAD, [_row(one) for one in lines]))
        for one in lines:
            if one.next.why:
                print(f"{one.job}: by distance or hours it is not known, because {one.next.why}.")
    if ics is not None:
        reminders = [_reminder(one) for one in lines if one.next.on is not None]
        if not reminders:  # RFC 5545, 3.4: a calendar has at least one component
            raise Refusal("Nothing has a day yet, so no calendar file was written.", Exit.OUTPUT)
        put(ics, calendar_file(reminders, datetime.fromtimestamp(round(now), UTC)), force=force, private=True)
    return Exit.OK


_HEAD = ("state", "due", "or at", "asset", "work", "interval", "done", "job")


def _objects(lines: Sequence[DueLine]) -> list[Mapping[str, Any]]:
    return objects(_HEAD, [[None if cell == "-" else cell for cell in _row(one)] for one in lines])


def _row(one: DueLine) -> tuple[str, ...]:
    on = one.next.on.isoformat() if one.next.on else "-"
    done = f"{one.done_on.isoformat()}" + (f" at {one.done_at}" if one.done_at else "")
    at = str(one.next.at) if one.next.at else "-"
    return (one.next.state.value, on, at, one.asset or "-", one.title, due_in_words(one.interval), done, one.job)


def _reminder(one: DueLine) -> Reminder:
    assert one.next.on is not None
    at = f" or at {one.next.at}" if one.next.at else ""
    by = "forecast from the readings" if one.next.on == one.next.by_use else "by time"
    text = (
        f"Interval: {due_in_words(one.interval)}. Due {one.next.on.isoformat()} ({by}){at}. Last done in job {one.job}."
    )
    title = f"Due: {one.title}" + (f" ({one.asset})" if one.asset else "")
    return Reminder(one.job, one.next.on, title, text)
