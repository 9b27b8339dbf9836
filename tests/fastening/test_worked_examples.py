"""What the docstrings promise: worked examples that run, a unit for every argument, a formula and a source."""

import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from types import FunctionType

import pytest

import assistant.fastening

MODULES = [m.name for m in pkgutil.walk_packages(assistant.fastening.__path__, "assistant.fastening.")]
WORDS = {"chunks", "faults", "symbols", "units"}
"""Modules that only read or say words: no formula of the trade is in them."""


@pytest.mark.parametrize("name", MODULES)
def test_the_worked_examples_of_a_module_give_what_they_say(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def public_functions(names: list[str]) -> Iterator[FunctionType]:
    for name in names:
        module = importlib.import_module(name)
        for found in vars(module).values():
            if inspect.isfunction(found) and found.__module__ == name and not found.__name__.startswith("_"):
                yield found


def methods(names: list[str]) -> Iterator[FunctionType]:
    """Yield the public methods of all classes, those that quantities have in common too."""
    for name in names:
        for kind in vars(importlib.import_module(name)).values():
            if inspect.isclass(kind) and kind.__module__ == name and kind.__name__ != "_Fields":
                yield from (f for key, f in vars(kind).items() if inspect.isfunction(f) and not key.startswith("_"))


@pytest.mark.parametrize(
    "function",
    [*public_functions(MODULES), *methods(MODULES)],
    ids=lambda f: f"{f.__module__}.{f.__qualname__}",
)
def test_every_argument_has_its_unit_in_brackets(function: FunctionType) -> None:
    text = " ".join((function.__doc__ or "").split())
    for name in (name for name in inspect.signature(function).parameters if name != "self"):
        unit = rf"``{name}``(?: and ``\w+``)? \[[^\]]+\]"
        assert re.search(unit, text), f"{function.__module__}.{function.__name__}: no unit for {name}"


@pytest.mark.parametrize("function", list(public_functions(MODULES)), ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_every_function_shows_its_formula_its_source_and_an_example(function: FunctionType) -> None:
    text = function.__doc__ or ""
    assert ">>>" in text
    assert re.search(r"^ +Source: \S", text, re.MULTILINE)
    if function.__module__.rpartition(".")[2] not in WORDS:
        assert re.search(r"^ +Formula: \S", text, re.MULTILINE)
