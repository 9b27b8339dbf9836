"""The one adapter of icalendar: what is due becomes a calendar file (RFC 5545), one all-day event for each thing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from assistant.visible import visible


@dataclass(frozen=True, slots=True)
class Reminder:
    """One event: a name that stays the same when the file is made again, its day, its title and its text."""

    uid: str
    on: date
    title: str
    text: str


def calendar_file(reminders: Iterable[Reminder], made_at: datetime) -> bytes:
    """Return the calendar file of ``reminders``, made at ``made_at`` (UTC)."""
    from icalendar import Calendar, Event  # noqa: PLC0415 - few commands need it

    calendar = Calendar()
    calendar.add("prodid", "-//step assistant//due//EN")
    calendar.add("version", "2.0")
    for one in reminders:
        event = Event()
        event.add("uid", f"{one.uid}@step-assistant")
        event.add("dtstamp", made_at)
        event.add("dtstart", one.on)
        event.add("dtend", one.on + timedelta(days=1))
        event.add("summary", visible(one.title))
        event.add("description", visible(one.text))
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    data: bytes = calendar.to_ical()
    return data
