"""What somebody asked to be reminded of: set, told when its time comes, and dropped."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.events import Command
from assistant.facts.going import RefusedWhy
from assistant.facts.reminders import ReminderEnded, RemindersDropped, ReminderSet
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here


def set_reminder(d: Deciding, command: Command) -> None:
    """Remind whoever asked, in so many minutes."""
    minutes = int(command.number or 0)
    if minutes < 1:
        d.refuse(RefusedWhy.NO_MINUTES)
        return
    step = d.step.id if d.step is not None else None
    number = d.state.reminders_set + 1
    d.put(ReminderSet(number=number, minutes=minutes, ends_ms=d.now_ms + minutes * 60_000, step=step))


def forget_reminders(d: Deciding, _: Command) -> None:
    """Drop all reminders that still run."""
    if d.state.reminders:
        d.put(RemindersDropped(numbers=tuple(sorted(d.state.reminders))))
    else:
        d.refuse(RefusedWhy.NO_REMINDER)


def ends_ms(here: Here) -> Iterator[int]:
    """Yield when each reminder is told [ms]."""
    for reminder in here.state.reminders.values():
        yield reminder.ends_ms


def end(d: Deciding, due: int) -> None:
    """Put which reminders are over by ``due`` [ms]."""
    for number, reminder in sorted(d.state.reminders.items()):
        if reminder.ends_ms <= due:
            d.put(ReminderEnded(number=number))
