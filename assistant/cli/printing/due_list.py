"""What is due again over all jobs: printed, or as a calendar file."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from assistant.bay.refusing import guarded
from assistant.cli.printing.options import DueOptions
from assistant.journal.opening import open_journal
from assistant.kept.due_calendar import due_calendar
from assistant.kept.due_jobs import DueLine, due_lines
from assistant.report.due import due_in_words
from assistant.report.meters import local_day
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.terminal.tables import objects, print_json, table

_MOST_DAYS = 36_500


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
        calendar = due_calendar(lines, datetime.fromtimestamp(round(now), UTC))
        if calendar is None:
            raise Refusal("Nothing has a day yet, so no calendar file was written.", Exit.OUTPUT)
        put(ics, calendar, force=force, private=True)
    return Exit.OK


_HEAD = ("state", "due", "or at", "asset", "work", "interval", "done", "job")


def _objects(lines: Sequence[DueLine]) -> list[Mapping[str, Any]]:
    return objects(_HEAD, [[None if cell == "-" else cell for cell in _row(one)] for one in lines])


def _row(one: DueLine) -> tuple[str, ...]:
    on = one.next.on.isoformat() if one.next.on else "-"
    done = f"{one.done_on.isoformat()}" + (f" at {one.done_at}" if one.done_at else "")
    at = str(one.next.at) if one.next.at else "-"
    return (one.next.state.value, on, at, one.asset or "-", one.title, due_in_words(one.interval), done, one.job)
