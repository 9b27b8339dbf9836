"""Sentences about timers of a procedure."""

from __future__ import annotations

from assistant.language.en import timers
from assistant.procedure.model import Timer, TimerKind


def _joins(timer: Timer) -> bool:
    return timer.kind is TimerKind.OPEN


def timer_started(timer: Timer) -> str:
    """Say that a timer runs."""
    return timers.timer_started(timer.name, timer.seconds)


def timer_left(timer: Timer, seconds: int) -> str:
    """Say how long a timer still runs [s]."""
    return timers.timer_left(timer.name, seconds, joins=_joins(timer))


def timer_doubted(timer: Timer, seconds: int) -> list[str]:
    """Ask whether a timer with ``seconds`` left [s] is right, after the computer's clock was set."""
    return timers.timer_doubted(timer.name, seconds, joins=_joins(timer))


def timer_over(timer: Timer) -> list[str]:
    """Say that a timer has ended, and what that means."""
    return timers.timer_over(timer.name, joins=_joins(timer))


def timer_late(timer: Timer, *, started: bool) -> list[str]:
    """Say that a step may not be confirmed because its open time is over."""
    return timers.timer_late(timer.name, started=started)


def wait_early(timer: Timer, seconds: int) -> list[str]:
    """Say that a wait is not over [s]."""
    return timers.wait_early(timer.name, seconds)


def clock_set(by_ms: int) -> str:
    """Say that the computer's clock was set, and by about how much [ms; negative: back]."""
    return timers.clock_set(by_ms)
