"""The words of facts about steps and timers."""

from __future__ import annotations

from assistant.facts import reminders, steps
from assistant.report.record.printing import AGAIN, Names, prints


@prints(steps.StepDone)
def _done(fact: steps.StepDone, _: Names) -> str:
    return f"done{AGAIN[fact.repeated]}"


@prints(steps.TimerStarted)
def _started(fact: steps.TimerStarted, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} started for {fact.seconds} s{AGAIN[fact.repeated]}"


@prints(steps.TimerWarned)
def _warned(fact: steps.TimerWarned, names: Names) -> str:
    return f"timer {names.timer(fact.timer)}: {fact.seconds_left} s left"


@prints(steps.TimerEnded)
def _ended(fact: steps.TimerEnded, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} ended"


@prints(steps.TimersDoubted)
def _doubted(fact: steps.TimersDoubted, names: Names) -> str:
    return f"to be asked about: timer {', '.join(names.timer(one) for one in fact.timers)}"


@prints(steps.TimerAgreed)
def _agreed(fact: steps.TimerAgreed, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} is right all the same, {fact.seconds_left} s left"


@prints(steps.TimerStopped)
def _stopped(fact: steps.TimerStopped, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} stopped {'by leaving steps out' if fact.left_out else 'in time'}"


@prints(steps.TimerRunsOn)
def _runs_on(fact: steps.TimerRunsOn, names: Names) -> str:
    return f"timer {names.timer(fact.timer)} runs on: a step that was left out is done after all"


@prints(reminders.ReminderSet)
def _reminder_set(fact: reminders.ReminderSet, _: Names) -> str:
    return f"reminder {fact.number} in {fact.minutes} min"


@prints(reminders.ReminderEnded)
def _reminder_ended(fact: reminders.ReminderEnded, _: Names) -> str:
    return f"reminder {fact.number} told"


@prints(reminders.RemindersDropped)
def _reminders_dropped(fact: reminders.RemindersDropped, _: Names) -> str:
    return f"reminder {', '.join(map(str, fact.numbers))} dropped"


@prints(reminders.TimesKnown)
def _times_known(fact: reminders.TimesKnown, _: Names) -> str:
    return f"times of steps known from {fact.own_jobs} own jobs and {fact.bay_jobs} of the bay"
