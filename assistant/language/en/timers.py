"""Timers, and the computer's clock."""

from __future__ import annotations

from assistant.language.en.talk import text as fixed
from assistant.language.en.units import duration_words
from assistant.language.en.words import bare, sentence
from assistant.language.sentence import Sentence


def timer_started(name: str, seconds: int) -> str:
    return sentence(f"{bare(name)} runs: {duration_words(seconds)}")


def timer_left(name: str, seconds: int, *, joins: bool) -> str:
    if seconds >= 120:
        seconds = (seconds // 60 if joins else -(-seconds // 60)) * 60
    return sentence(f"{bare(name)}: {duration_words(seconds)} left")


def timer_over(name: str, *, joins: bool) -> list[str]:
    if joins:
        return [f"The time is over: {bare(name)}.", "Remove it and apply it again, as the procedure says."]
    return [sentence(f"{bare(name)} is over")]


def timer_late(name: str, *, started: bool) -> list[str]:
    first = timer_over(name, joins=True) if started else [f"The timer was not started: {bare(name)}."]
    return [*first, "Go back and start it there.", "To go on all the same, say confirmed."]


def timer_doubted(name: str, seconds: int, *, joins: bool) -> list[str]:
    left = timer_left(name, seconds, joins=joins) if seconds else timer_over(name, joins=joins)[0]
    return [
        fixed(Sentence.BY_MY_COUNT),
        left,
        "If that is right, say confirmed.",
        "If it is not, say cancel and start it again.",
    ]


def wait_early(name: str, seconds: int) -> list[str]:
    return [timer_left(name, seconds, joins=False), "To leave early, say confirmed."]


def clock_set(by_ms: int) -> str:
    seconds = round(abs(by_ms) / 1000)
    by = "more than a day" if seconds >= 86_400 else duration_words(_rounded(seconds))
    return f"The clock of this computer was set {'back' if by_ms < 0 else 'forward'} by {by}."


def _rounded(seconds: int) -> int:
    """Return a length of time [s] as it is said: whole hours, minutes from two on, or seconds."""
    unit = 3600 if seconds >= 7200 else 60 if seconds >= 120 else 1
    return round(seconds / unit) * unit
