"""Answers that the customer gave on the page."""

from __future__ import annotations

from assistant.language.en.numbers import number_words


def _verb(*, granted: bool) -> str:
    return "granted" if granted else "declined"


def answered(number: int, *, granted: bool) -> str:
    advice = "" if granted else " It stays as advice."
    return f"Extra work {number_words(number)} is {_verb(granted=granted)} by the customer.{advice}"


def next_goes_on() -> str:
    return "Say next to go on."


def late(number: int, stands: str, *, granted: bool) -> list[str]:
    verb = _verb(granted=granted)
    said = f"The customer also answered extra work {number_words(number)}: {verb}."
    if not stands:
        return [said, "It is not part of the job any more."]
    if stands == verb or (stands == "done" and granted):
        return [said, "Nothing changes."]
    return [said, f"But it is {stands}. Ask the customer which counts."]


def came_first() -> str:
    return "The customer answered first. Nothing has changed by your word."
