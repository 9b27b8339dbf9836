"""What is said of timers, and of the computer's clock."""

from __future__ import annotations

from assistant.events import ToneKind
from assistant.facts.asking import Asked, AskLate, AskTimer
from assistant.facts.going import Arrived
from assistant.facts.inputs import ClockSet
from assistant.facts.steps import TimerAgreed, TimerEnded, TimerStarted, TimerWarned
from assistant.language.sentence import Sentence
from assistant.session import timing
from assistant.session.part import part_of
from assistant.session.telling import detours, reminders
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells

_MOST_TIMERS = 4
"""So many timers are told of at once: the ear holds four things."""


def timer_name(t: Telling, timer: str) -> str:
    """Return what a timer is called."""
    return t.job.timers[timer].name


def over_words(t: Telling, timer: str) -> list[str]:
    """Return that a timer has ended, and what that means."""
    return t.language.timers.timer_over(timer_name(t, timer), joins=timing.is_open_time(t, timer))


def timer_words(t: Telling, timer: str) -> str:
    """Return what is left of a timer that matters for a step, or ""."""
    state = t.state.timers.get(timer)
    if state is None or state.stopped:
        return ""
    if state.over:
        return over_words(t, timer)[0]
    return _left(t, timer, timing.seconds_left(t, timer))


_PLENTY = 2
"""An open time of which more than one part in so many is left is not told of at each step that it is for."""


def open_time_words(t: Telling, timer: str) -> str:
    """Return what is left of the open time in which a step must be done, when that begins to matter, or ""."""
    state = t.state.timers.get(timer)
    runs = state is not None and not (state.stopped or state.over or state.doubted)
    plenty = runs and timing.seconds_left(t, timer) * _PLENTY > t.job.timers[timer].seconds
    return "" if plenty and not (t.in_full or t.is_behind_a_break) else timer_words(t, timer)


def _left(t: Telling, timer: str, seconds: int) -> str:
    return t.language.timers.timer_left(timer_name(t, timer), seconds, joins=timing.is_open_time(t, timer))


def live_words(t: Telling) -> list[str]:
    """Return how long the timers still run: at most four, those that end first."""
    return [timer_words(t, timer) for timer in timing.live(t)[:_MOST_TIMERS]]


def time_left(t: Telling) -> list[str]:
    """Return the answer to how long the timers still run."""
    return [*live_words(t), *reminders.reminders_left(t)] or [t.text(Sentence.NO_TIMER)]


def runs_words(t: Telling) -> str:
    """Return what is left of the timer that "start timer" would start here, or ""."""
    step = t.step
    if step is None:
        return ""
    return timer_words(t, part_of(step).waits_for(step) or step.starts_timer or "")


@tells(TimerStarted)
def _started(t: Telling, fact: TimerStarted) -> None:
    t.say(t.language.timers.timer_started(timer_name(t, fact.timer), fact.seconds))
    step = t.step
    if step is not None and part_of(step).waits_for(step) == fact.timer and not t.has(Arrived):
        t.say(*detours.offered_words(t, fact.timer))


@tells(TimerWarned)
def _warned(t: Telling, fact: TimerWarned) -> None:
    if not fact.quiet:
        t.tone(ToneKind.TIMER)
        t.say(_left(t, fact.timer, fact.seconds_left))


@tells(TimerEnded)
def _ended(t: Telling, fact: TimerEnded) -> None:
    t.tone(ToneKind.TIMER)
    doubted = t.after.state.timers[fact.timer].doubted
    if doubted:  # "next" asks whether that is right
        t.fixed(Sentence.BY_MY_COUNT)
    t.say(*over_words(t, fact.timer))
    step = t.after.step
    if not doubted and step is not None and part_of(step).waits_for(step) == fact.timer:
        t.say(t.prompt(Sentence.NEXT_GOES_ON))
    elif not doubted:
        t.say(detours.back_to_wait(t, fact.timer))


@tells(ClockSet)
def _clock_set(t: Telling, fact: ClockSet) -> None:
    t.tone(ToneKind.TIMER)
    t.say(t.language.timers.clock_set(fact.by_ms))


@tells(TimerAgreed)
def _agreed(t: Telling, fact: TimerAgreed) -> None:
    if not t.has(Asked):  # else the next one is asked about
        t.say(timer_words(t, fact.timer) or t.text(Sentence.NO_TIMER))


# What is read back


def late_words(t: Telling, question: AskLate) -> list[str]:
    """Return that a step may not be confirmed because its open time is over, or was not started."""
    name = timer_name(t, question.timer)
    return t.language.timers.timer_late(name, started=question.started)


def late_summary(t: Telling, _: AskLate) -> str:
    """Return what allowing it means."""
    return t.text(Sentence.GO_ON_LATE)


def doubt_words(t: Telling, question: AskTimer) -> list[str]:
    """Return the question whether a timer is right, after the computer's clock was set."""
    joins = timing.is_open_time(t, question.timer)
    return t.language.timers.timer_doubted(timer_name(t, question.timer), question.seconds_left, joins=joins)


def doubt_summary(t: Telling, _: AskTimer) -> str:
    """Return what agreeing means."""
    return t.text(Sentence.TIMER_RIGHT)


add_read_back(AskLate, ReadBack(late_words, summary=late_summary))
add_read_back(AskTimer, ReadBack(doubt_words, summary=doubt_summary))
