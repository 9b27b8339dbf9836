"""What somebody asked to be told of himself, and how long the work took before."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import reminders
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import RunningReminder, Times
from assistant.session.state import State


@takes_up(reminders.ReminderSet)
def _reminder_set(state: State, fact: reminders.ReminderSet) -> State:
    """A reminder runs."""
    running = {**state.reminders, fact.number: RunningReminder(fact.minutes, fact.ends_ms, fact.step)}
    return replace(state, reminders=running, reminders_set=max(state.reminders_set, fact.number))


@takes_up(reminders.ReminderEnded)
def _reminder_ended(state: State, fact: reminders.ReminderEnded) -> State:
    """A reminder was told."""
    return _without(state, (fact.number,))


@takes_up(reminders.RemindersDropped)
def _reminders_dropped(state: State, fact: reminders.RemindersDropped) -> State:
    """Reminders are not wanted any more."""
    return _without(state, fact.numbers)


def _without(state: State, numbers: tuple[int, ...]) -> State:
    return replace(state, reminders={one: kept for one, kept in state.reminders.items() if one not in numbers})


@takes_up(reminders.TimesKnown)
def _times_known(state: State, fact: reminders.TimesKnown) -> State:
    """It is known how long the steps took before; the own times are those of who works on the job now."""
    return replace(state, times=Times(state.operator, fact.own, fact.own_jobs, fact.bay, fact.bay_jobs))
