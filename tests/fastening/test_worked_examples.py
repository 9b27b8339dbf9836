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
FORMULAS = ("assembly", "calibration", "classes", "multiplier", "plausibility", "turning", "wrench")
"""Modules whose functions with numbers must show formula, source and worked example."""
_WITHOUT_FORMULA = {"parse_thread", "property_class", "months_later"}
"""Reading and looking up: no formula of the trade in them."""


@pytest.mark.parametrize("name", MODULES)
def test_the_worked_examples_of_a_module_give_what_they_say(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def public_functions(names: list[str]) -> Iterator[FunctionType]:
    for name in names:
        module = importlib.import_module(name)
        for found in vars(module).values():
            if inspect.isfunction(found) and found.__module__ == name and not found.__name__.startswith("_"):
                yield found


@pytest.mark.parametrize("function", list(public_functions(MODULES)), ids=lambda f: f"{f.__module__}.{f.__name__}")
def test_every_argument_has_its_unit_in_brackets(function: FunctionType) -> None:
    text = " ".join((function.__doc__ or "").split())
    for name in inspect.signature(function).parameters:
        unit = rf"``{name}``(?: and ``\w+``)? \[[^\]]+\]"
        assert re.search(unit, text), f"{function.__module__}.{function.__name__}: no unit for {name}"


@pytest.mark.parametrize(
    "function",
    list(public_functions([f"assistant.fastening.{name}" for name in FORMULAS])),
    ids=lambda f: f"{f.__module__}.{f.__name__}",
)
def test_every_formula_shows_itself_its_source_and_an_example(function: FunctionType) -> None:
    text = function.__doc__ or ""
    assert ">>>" in text
    if function.__name__ not in _WITHOUT_FORMULA:
        assert "Formula:" in text
        assert "Source:" in text
