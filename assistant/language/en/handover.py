"""For whoever takes a job over."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.numbers import number_words
from assistant.language.en.questions import about_length
from assistant.language.en.words import at_most_four, bare, plural, sentence, short, step_name
from assistant.language.values import StepAt


def who(names: Sequence[str]) -> list[str]:
    if not names:
        return ["Who takes over, say take over.", "A name can be typed."]
    if len(names) == 1:
        return [f"{sentence(bare(names[0]))} If you take over, say take over."]
    told = [f"Operator {number_words(number)}: {bare(name)}." for number, name in enumerate(names[:MOST_THINGS], 1)]
    return ["Who takes over?", *told, "Say operator and the number."]


def welcome(taken_by: str, left_by: str) -> str:
    name = bare(taken_by) if taken_by else ""
    before = f" from {bare(left_by)}" if left_by else ""
    return f"{sentence(name)} You take over{before}." if name else f"You take over{before}."


def _somebody(name: str) -> str:
    return bare(name) if name else "somebody"


def helps(name: str) -> str:
    return sentence(f"{_somebody(name)} helps from now on")


def helps_no_more(name: str, seconds: int) -> str:
    return sentence(f"{_somebody(name)} has left, and helped about {about_length(seconds)}")


def helped(name: str, seconds: int) -> str:
    return sentence(f"{_somebody(name)} helped about {about_length(seconds)}")


def which_helper(names: Sequence[str]) -> list[str]:
    if not names:
        return ["There is no such operator. Say somebody helps."]
    told = [f"Operator {number_words(number)}: {bare(name)}." for number, name in enumerate(names[:MOST_THINGS], 1)]
    return ["Which one?", *told]


def helps_before() -> str:
    return "That is known already."


def no_helper() -> str:
    return "Nobody helps just now."


def left_out(steps: Sequence[StepAt]) -> str:
    return f"Left out: {at_most_four([step_name(step) for step in steps])}." if steps else ""


def stripped(groups: Sequence[tuple[str, int]]) -> str:
    names = [f"{bare(name)}, {number_words(count)}" for name, count in groups[:MOST_THINGS]]
    lines = [f"Out, and not back in: {name}." for name in names]
    if len(groups) > MOST_THINGS:
        lines.append(sentence(f"{plural(len(groups) - MOST_THINGS, 'more group is', 'more groups are')} out"))
    return " ".join(lines)


def off(parts: Sequence[str]) -> str:
    return f"Off, and not back on: {at_most_four([bare(part) for part in parts])}." if parts else ""


_TOLD_WORDS = 40
"""So much of a note is told to whoever takes over: about a quarter of a minute. The record has all of it."""
_TOLD = {"note": "Note", "problem": "Problem", "deviation": "Accepted"}


def told(kind: str, step: StepAt | None, text: str, *, corrected: bool = False) -> str:
    where = f" in {step_name(step)}" if step else ""
    return f"{_TOLD[kind]}{where}{', corrected' if corrected else ''}: {short(text, _TOLD_WORDS)}."


def told_before(number: int) -> str:
    return sentence(plural(number, "older one is in the job", "older ones are in the job")) if number else ""
