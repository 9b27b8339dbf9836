"""Sentences about timers, and about the computer's clock."""

from __future__ import annotations

from assistant.language.en.replies import bare, sentence
from assistant.language.en.sentences import BY_MY_COUNT
from assistant.language.en.units import duration_words
from assistant.procedure.model import Timer, TimerKind


def timer_started(timer: Timer) -> str:
    """Say that a timer runs."""
    return f"Timer started, {bare(timer.name)}: {duration_words(timer.seconds)}."


def timer_left(timer: Timer, seconds: int) -> str:
    """Say how long a timer still runs [s]; from two minutes on in whole minutes, on the safe side."""
    if seconds >= 120:
        minutes = seconds // 60 if timer.kind is TimerKind.OPEN else -(-seconds // 60)
        seconds = minutes * 60
    return sentence(f"{bare(timer.name)}: {duration_words(seconds)} left")


def clock_set(by_ms: int) -> str:
    """Say that the computer's clock was set, and by about how much [ms; negative: back]."""
    seconds = round(abs(by_ms) / 1000)
    by = "more than a day" if seconds >= 86_400 else duration_words(_rounded(seconds))
    return f"The clock of this computer was set {'back' if by_ms < 0 else 'forward'} by {by}."


def _rounded(seconds: int) -> int:
    """Return a length of time [s] as it is said: whole hours, minutes from two on, or seconds."""
    unit = 3600 if seconds >= 7200 else 60 if seconds >= 120 else 1
    return round(seconds / unit) * unit


def timer_doubted(timer: Timer, seconds: int) -> list[str]:
    """Ask whether a timer with ``seconds`` left [s] is right, after the computer's clock was set."""
    left = timer_left(timer, seconds) if seconds else timer_over(timer)[0]
    return [BY_MY_COUNT, left, "If that is right, say confirmed.", "If it is not, say cancel and start it again."]


def timer_over(timer: Timer) -> list[str]:
    """Say that a timer has ended, and what that means."""
    name = bare(timer.name)
    if timer.kind is TimerKind.OPEN:
        return [f"The time is over: {name}.", "Remove it and apply it again, as the procedure says."]
    return [f"The wait is over: {name}."]


def timer_late(timer: Timer, *, started: bool) -> list[str]:
    """Say that a step may not be confirmed because its open time is over."""
    first = timer_over(timer) if started else [f"The timer was not started: {bare(timer.name)}."]
    return [*first, "Go back and start it there.", "To go on all the same, say confirmed."]


def wait_early(timer: Timer, seconds: int) -> list[str]:
    """Say that a wait is not over [s]."""
    return [timer_left(timer, seconds), "To leave early, say confirmed."]
