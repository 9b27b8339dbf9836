"""What a step asks for, and what is answered: counts, readings, yes and no."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.units import unit_words, value_words
from assistant.language.en.words import bare, ear, echo, sentence

_MOST_HIDDEN = 3
"""Hidden fasteners that are called out before a count: with the place, that makes four things."""


def count_ask(hidden: Sequence[str], place: str) -> list[str]:
    lines = [f"Place: {bare(place)}."] if place else []
    return lines + [f"One is hidden: {bare(where)}." for where in hidden[:_MOST_HIDDEN]]


def how_many(number: int) -> str:
    return sentence(echo(number))


def count_match(count: int) -> str:
    return sentence(echo(count))


def count_wrong(count: int, expected: int | None, *, gate: bool = False) -> list[str]:
    return [
        f"You count {echo(count)}.",
        "That does not agree." if expected is None else f"There should be {echo(expected)}.",
        "Count again.",
        *([] if gate else ["To accept your count, say confirmed."]),
    ]


def accept_count(count: int) -> str:
    return f"Accept {echo(count).replace(': ', ', ')}"


def limits(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    if low is not None and high is not None:
        least = f"At least {number_words(low)}."  # the unit behind the other limit is heard with both
    else:
        least = "" if low is None else f"At least {value_words(low, unit)}."
    most = "" if high is None else f"At most {value_words(high, unit)}."
    return f"{least} {most}".strip() or "There is no limit."


def unit_alone(unit: str) -> str:
    return f"In {unit_words(unit, 2)}."


def reading_right(value: Decimal, unit: str) -> str:
    said = sentence(value_words(value, unit))
    return f"{said} That is {digit_words(value)}." if sounds_alike(value) else said


def reading_wrong(value: Decimal, edge: Decimal, unit: str, *, below: bool, gate: bool = False) -> list[str]:
    return [
        f"You read {echo(value)}.",
        f"That is {'below' if below else 'above'} the limit of {value_words(edge, unit)}.",
        "Measure again.",
        *([] if gate else ["To accept your reading, say confirmed."]),
    ]


def reading_unsure(value: Decimal, unit: str) -> list[str]:
    return [sentence(_surely(value, value_words(value, unit))), "Read again, or say confirmed."]


def count_unsure(count: int) -> list[str]:
    return [f"You count {_surely(Decimal(count), number_words(count))}", "Count again, or say confirmed."]


def amount_unsure(value: Decimal, unit: str) -> list[str]:
    return [f"You filled {_surely(value, value_words(value, unit))}", "Say it again, or say confirmed."]


def _surely(value: Decimal, said: str) -> str:
    """Say a value, and its digits one by one where they are not what was said."""
    digits = digit_words(value)
    alone = number_words(value).replace("-", " ") == digits
    return f"{said}." if alone else f"{said}: {digits}."


def accept_reading(value: Decimal, unit: str) -> str:
    return f"Accept {value_words(value, unit)}"


def amount(value: Decimal, unit: str, text: str) -> str:
    said = value_words(value, unit)
    return "" if said.lower() in ear(text).lower() else sentence(said)


def amount_wrong(value: Decimal, wanted: Decimal, unit: str, *, gate: bool = False) -> list[str]:
    return [
        f"You filled {echo(value)}.",
        f"It should be {value_words(wanted, unit)}.",
        *([] if gate else ["To accept what you filled, say confirmed."]),
    ]


def answer(*, yes: bool) -> str:
    return "Yes." if yes else "No."


def answer_wrong(*, yes: bool, gate: bool = False) -> list[str]:
    said, meant = ("yes", "no") if yes else ("no", "yes")
    return [
        f"You say {said}.",
        f"It should be {meant}.",
        "Check again.",
        *([] if gate else ["To accept your answer, say confirmed."]),
    ]


def accept_answer(*, yes: bool) -> str:
    return f"Accept the answer {'yes' if yes else 'no'}"
