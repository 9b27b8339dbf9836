"""What is due again as a calendar file: one reminder for each machine and procedure that has a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from assistant.kept.due_jobs import DueLine
from assistant.report.calendar_file import Reminder, calendar_file
from assistant.report.due import due_in_words


def due_calendar(lines: Sequence[DueLine], now: datetime) -> bytes | None:
    """Return the file of those ``lines`` that have a day; None where none has: a calendar has at least one component.

    Source: RFC 5545, section 3.4.
    """
    reminders = [_reminder(one) for one in lines if one.next.on is not None]
    return calendar_file(reminders, now) if reminders else None


def _reminder(one: DueLine) -> Reminder:
    assert one.next.on is not None
    at = f" or at {one.next.at}" if one.next.at else ""
    by = "forecast from the readings" if one.next.on == one.next.by_use else "by time"
    text = (
        f"Interval: {due_in_words(one.interval)}. Due {one.next.on.isoformat()} ({by}){at}. Last done in job {one.job}."
    )
    title = f"Due: {one.title}" + (f" ({one.asset})" if one.asset else "")
    return Reminder(one.job, one.next.on, title, text)
