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


def count_out(name: str) -> str:
    return f"Take out the {name} and count them."


def laid_down(*, again: bool) -> str:
    return "the tray" if again else "the scrap box"


def tighten(name: str) -> str:
    return f"Tighten the {name}."


def turn_over() -> str:
    return "Turn the engine by hand two full turns and feel that it runs freely."


def last_questions() -> list[str]:
    return [
        "Is everything dry and free of leaks?",
        "Are all the levels right?",
        "Are all the tools, rags and spare bolts accounted for?",
    ]


def shut(what: str) -> str:
    return f"Close the {what}."


def take_out(name: str) -> str:
    return f"Take out the {name}."


def put_back(part: str) -> str:
    return f"Put back the {part}."


def fit_new(name: str, quantity: int) -> str:
    name = without_new(name)
    return f"Fit {quantity} new {name}." if quantity > 1 else f"Fit a new {name}."


def measure(name: str) -> str:
    return f"Measure the {name}."


def fill_in(name: str) -> str:
    return f"Fill in the {name}."


def level_right(name: str) -> str:
    return f"Is the level of the {name} right?"


def let_be(name: str, *, cools: bool) -> str:
    return f"Let the {name} {'cool down' if cools else 'cure'}."


def time_of(name: str, *, cools: bool) -> str:
    return f"{'cooling' if cools else 'curing'} time of the {name}"


def size_in_words(diameter: Decimal) -> str:
    return f"{number_words(diameter)} millimetre"


_PARTS = {
    "1/4": "quarter", "5/16": "five sixteenths", "3/8": "three eighths", "7/16": "seven sixteenths", "1/2": "half",
    "9/16": "nine sixteenths", "5/8": "five eighths", "3/4": "three quarter", "7/8": "seven eighths", "1": "one",
}  # fmt: skip


def inch_size_in_words(size: str, threads: str) -> str:
    if size.startswith("#"):  # alone it would be taken for the number of a bolt
        return f"number {number_words(int(size[1:]))}, {number_words(int(threads))}"
    return f"{_PARTS[size]} inch"
