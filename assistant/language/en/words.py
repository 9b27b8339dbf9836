"""Small tools of all sentences: written out for the ear, joined, counted, shortened."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.numbers import digit_words, number_words, ordinal_words, sounds_alike
from assistant.language.values import StageAt, StepAt

_DIGITS = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
_SEAM = re.compile(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])")
WHOLE = 200
"""Words [count] of a note that are read back when it is kept: all that fit into one."""
_NOTE_WORDS = 40
"""Words of a note that are read back: more nobody compares by ear with what was said. Ours, not published."""


def ear(text: str) -> str:
    """Write out the digits in words of a person, and end them as a sentence."""
    text = _DIGITS.sub(lambda found: _written(found[0]), " ".join(text.split()))
    return text if not text or text[-1] in ".?!" else f"{text}."


def _written(digits: str) -> str:
    return number_words(Decimal(digits)) if len(digits) <= 6 else digit_words(Decimal(digits))


def apart(text: str) -> str:
    """Part digits from letters, so that "M10" does not become one word when its digits are written out."""
    return _SEAM.sub(" ", text)


def sentence(text: str) -> str:
    """Begin with a capital letter and end with a full stop."""
    return ear(text[:1].upper() + text[1:])


def bare(text: str) -> str:
    """Return words of the procedure without their full stop, to stand inside a sentence."""
    return ear(text).rstrip(".?!")


def listed(things: Sequence[str]) -> str:
    """Join things with commas and "and"."""
    return things[0] if len(things) == 1 else f"{', '.join(things[:-1])} and {things[-1]}"


def at_most_four(things: Sequence[str]) -> str:
    """Join things; of more than four, say the first ones and how many more there are."""
    if len(things) <= MOST_THINGS:
        return listed(things)
    more = len(things) - MOST_THINGS + 1
    return listed([*things[: MOST_THINGS - 1], f"{number_words(more)} more"])


def plural(number: int | Decimal, one: str, many: str) -> str:
    """Say how many of something there are."""
    return f"{number_words(number)} {one if number == 1 else many}"


def echo(number: int | Decimal) -> str:
    """Say a number, and digit by digit where it sounds like another: "fifteen: one five"."""
    words = number_words(number)
    return f"{words}: {digit_words(number)}" if sounds_alike(number) else words


def step_name(step: StepAt) -> str:
    """Name a step inside a sentence."""
    name = "closing step" if step.closing else "step"
    if step.behind:
        return f"extra step {number_words(step.number)} behind {name} {number_words(step.behind)}"
    return f"{name} {number_words(step.number)}"


def stage_name(stage: StageAt) -> str:
    """Name a stage inside a sentence, with its pass and its repetition where it has more than one."""
    said = bare(apart(stage.label)) if stage.label else f"stage {bare(apart(stage.printed or str(stage.number)))}"
    if stage.parts > 1:
        said += f", pass {number_words(stage.part)}"
    return said if stage.times == 1 else f"{said}, {ordinal_words(stage.time)} of {number_words(stage.times)}"


def cut(text: str, most: int = _NOTE_WORDS) -> str:
    """Return the first ``most`` words [count] of a long text that is to be read back."""
    words = bare(text).split()
    return " ".join(words) if len(words) <= most else " ".join(words[:most]) + " and so on"


def short(text: str, most: int = _NOTE_WORDS) -> str:
    """Return the first ``most`` words [count] of a long note; at most twice as many where digits stand in them."""
    words = text.split()
    head = " ".join(words[:most])
    said = bare(apart(head)).split()
    room = most if apart(head) == head else 2 * most
    return " ".join(said[:room]) + ("" if len(words) <= most and len(said) <= room else " and so on")
