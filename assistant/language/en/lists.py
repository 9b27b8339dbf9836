"""What is missing, still in, or still open."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.language.en.units import bolts_words
from assistant.language.en.words import at_most_four, bare, plural, sentence, short, stage_name, step_name
from assistant.language.values import StageAt, StepAt


def missing(things: Sequence[str], conditions: Sequence[str], *, still: bool = False) -> list[str]:
    names = [bare(name) for name in things]
    lines = [f"{'Still missing' if still else 'Missing'}: {at_most_four(names)}."] if names else []
    not_so = [bare(name[:1].lower() + name[1:]) for name in conditions]
    return [*lines, f"Not so yet: {at_most_four(not_so)}."] if not_so else lines


def found_ask(name: str) -> str:
    return f"{sentence(name)} If it is here, say confirmed. If not, say no."


def found(name: str) -> str:
    return f"Found: {bare(name)}."


def lock_in(names: Sequence[str], *, turning: bool) -> str:
    first = "you turn anything" if turning else "you tighten anything"
    return f"Still in: {at_most_four(names)}. Take that out before {first}." if names else ""


def lock_missing(names: Sequence[str]) -> str:
    return f"Not in: {at_most_four(names)}. This step counts on that." if names else ""


# What is open


def open_items(things: Sequence[str]) -> list[str]:
    return ["Still open.", *(sentence(thing) for thing in things)]


_PROBLEM_WORDS = 12
"""Words of a problem that are said where it is one thing of several; the whole of it is in the record."""


def open_problem(step: StepAt | None, words: str) -> str:
    return f"problem{f' in {step_name(step)}' if step else ''}: {short(words, _PROBLEM_WORDS)}"


def open_count(group: str) -> str:
    return f"the count of the {bare(group)} does not agree"


def open_value(step: StepAt) -> str:
    return f"the value of {step_name(step)} is out of limits"


def open_bolts(numbers: Sequence[int], step: StepAt) -> str:
    if len(numbers) == 1:
        return f"{bolts_words(numbers)} of {step_name(step)} is out of limits"
    return f"{plural(len(numbers), 'bolt', 'bolts')} of {step_name(step)} are out of limits"


def open_answer(step: StepAt, *, yes: bool) -> str:
    return f"{step_name(step)} was answered with {'yes' if yes else 'no'}"


def open_amount(step: StepAt) -> str:
    return f"the amount of {step_name(step)} is not as it should be"


def open_parts(step: StepAt) -> str:
    return f"the number of new parts in {step_name(step)} is not as it should be"


def open_stage(stage: StageAt, step: StepAt) -> str:
    return f"{stage_name(stage)} of {step_name(step)} is not tight"


def open_step(step: StepAt) -> str:
    return f"{step_name(step)} is not done"


def open_left_out(step: StepAt) -> str:
    return f"{step_name(step)} was left out"


def open_preparation(parts: int) -> str:
    return f"{plural(parts, 'part', 'parts')} of the preparation"


_KINDS = {
    "problem": ("problem", "problems"),
    "extra": ("piece of extra work open", "pieces of extra work open"),
    "held_open": ("more held open", "more held open"),
    "count": ("count that does not agree", "counts that do not agree"),
    "value": ("value out of limits", "values out of limits"),
    "doubt": ("bolt in doubt", "bolts in doubt"),
    "answer": ("answer that should be another", "answers that should be others"),
    "step": ("step not done", "steps not done"),
    "stage": ("stage not tightened", "stages not tightened"),
    "part": ("new part not answered for", "new parts not answered for"),
    "reading": ("place with readings left out", "places with readings left out"),
    "witness": ("step not witnessed", "steps not witnessed"),
    "photo": ("step without its photo", "steps without their photos"),
    "left_out": ("step left out", "steps left out"),
    "preparation": ("part of the preparation", "parts of the preparation"),
    "other": ("other thing", "other things"),
}


def open_of_kind(kind: str, number: int) -> str:
    return plural(number, *_KINDS[kind])
