"""Texts of steps that are drafted for a procedure."""

from __future__ import annotations

from decimal import Decimal

from assistant.language.en.numbers import number_words


def without_new(name: str) -> str:
    return name.removeprefix("new ")


def fit_bolts(name: str) -> str:
    return f"Put in the new {without_new(name)} by hand."


def count_in(name: str) -> str:
    return f"Put in the {name} by hand and count them."


def shut(what: str) -> str:
    return f"Close the {what}."


def take_out(name: str) -> str:
    return f"Take out the {name}."


def put_back(part: str) -> str:
    return f"Put back the {part}."


def fit_new(name: str, quantity: int) -> str:
    name = without_new(name)
    return f"Fit {quantity} new {name}." if quantity > 1 else f"Fit a new {name}."


def size_in_words(diameter: Decimal) -> str:
    return f"{number_words(diameter)} millimetre"
