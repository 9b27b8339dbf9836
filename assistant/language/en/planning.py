"""The plan of the work: what comes first, what goes on meanwhile, the end, and the booking."""

from __future__ import annotations

from assistant.language.en.numbers import number_words
from assistant.language.en.questions import about_length, hour_words
from assistant.language.en.words import bare, sentence, step_name
from assistant.language.values import StepAt

_DAY_MIN = 1440


def plan_first(first: StepAt | None, then: StepAt | None, meanwhile: StepAt | None) -> list[str]:
    if first is None:
        return ["Nothing can be done before the wait is over."]
    line = f"First {step_name(first)}"
    if then is not None:
        line += f", then {step_name(then)}"
    return [f"{line}.", f"During the wait, {step_name(meanwhile)}." if meanwhile is not None else ""]


def plan_helper(step: StepAt) -> str:
    return f"The helper does {step_name(step)}."


def plan_short(step: StepAt, people: int) -> str:
    return sentence(f"{step_name(step)} takes {number_words(people)} people")


def plan_unfit(step: StepAt) -> str:
    return f"No tool here fits {step_name(step)}."


def takes_people(people: int) -> str:
    return f"For {number_words(people)} people."


def plan_ends(minute: int, days: int, *, at_least: bool) -> str:
    rounded = round(minute / 5) * 5
    days += rounded // _DAY_MIN
    if days > 1:
        return ""
    when = f"{'not before' if at_least else 'at about'} {hour_words(rounded % _DAY_MIN)}"
    return sentence(f"{'tomorrow, ' if days else ''}done {when}")


def booking(over: int, *, at_least: bool) -> str:
    if over <= 0:
        return "That stays within the booking."
    return sentence(f"{'at least ' if at_least else 'about '}{about_length(over)} over the booking")


def plan_late(timer: str) -> str:
    return sentence(f"too little is left: {bare(timer)}")


def no_plan() -> str:
    return "No order keeps every open time."


def not_proven() -> str:
    return "There may be a faster order."
