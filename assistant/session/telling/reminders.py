"""What is said of reminders."""

from __future__ import annotations

from assistant.events import ToneKind
from assistant.facts.reminders import ReminderEnded, RemindersDropped, ReminderSet
from assistant.session.places import StepPlace
from assistant.session.telling.core import Telling, tells


def reminders_left(t: Telling) -> list[str]:
    """Return how long it is until somebody is reminded: at most two, those that come first."""
    ends = sorted(one.ends_ms for one in t.state.reminders.values())[:2]
    return [t.language.questions.reminder_left(max(0, -((t.now_ms - end) // 1000))) for end in ends]


@tells(ReminderSet)
def _set(t: Telling, fact: ReminderSet) -> None:
    t.say(t.language.questions.reminder_set(fact.minutes))


@tells(ReminderEnded)
def _ended(t: Telling, fact: ReminderEnded) -> None:
    """Remind of it wherever the job is, with the step in which it was asked for if that is another one."""
    t.tone(ToneKind.TIMER)
    reminder = t.before.state.reminders.get(fact.number)
    if reminder is None:
        return
    here = t.after.step
    place = t.job.places[t.job.index.get(reminder.step or "", 0)]
    elsewhere = isinstance(place, StepPlace) and place.key == reminder.step and (here is None or here.id != place.key)
    step = place.called if elsewhere and isinstance(place, StepPlace) else None
    t.say(*t.language.questions.reminder_over(reminder.minutes, step))


@tells(RemindersDropped)
def _dropped(t: Telling, fact: RemindersDropped) -> None:
    t.say(t.language.questions.reminders_dropped(len(fact.numbers)))
