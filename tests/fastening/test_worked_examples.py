"""Every worked example in the docstrings of the room runs."""

import doctest
import importlib
import pkgutil

import pytest

import assistant.fastening

MODULES = [m.name for m in pkgutil.walk_packages(assistant.fastening.__path__, "assistant.fastening.")]


@pytest.mark.parametrize("name", MODULES)
def test_the_worked_examples_of_a_module_give_what_they_say(name: str) -> None:
    module = importlib.import_module(name)
    result = doctest.testmod(module)
    assert result.failed == 0
