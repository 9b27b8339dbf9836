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
    if stands in ("asked", "advised"):
        return [said, "But what was shown has changed since, so that does not count.", "The page asks again."]
    if stands == verb or (stands == "done" and granted):
        return [said, "Nothing changes."]
    return [said, f"But it is {stands}. Ask the customer which counts."]


def finding_answered() -> list[str]:
    return ["The customer has answered for this finding, so its words stay.", "For others, say I found something."]


def finding_stays(number: int) -> str:
    return f"The customer has answered for extra work {number_words(number)}, so it stays as it was."


def came_first() -> str:
    return "The customer answered first. Nothing has changed by your word."
