"""Every function of the port is there in English with the same arguments, and somebody uses it."""

from __future__ import annotations

import ast
import dataclasses
import inspect
from functools import cache
from pathlib import Path
from typing import Any, get_type_hints

import pytest

import assistant
from assistant.language.en import ENGLISH, WRITTEN_ENGLISH
from assistant.language.port import Language, WrittenLanguage
from assistant.language.sentence import Sentence

ROOM = Path(assistant.__file__).parent
FUNCTIONS = [
    (getattr(bundle, field.name), name, wanted)
    for kind, bundle in ((Language, ENGLISH), (WrittenLanguage, WRITTEN_ENGLISH))
    for field in dataclasses.fields(kind)
    if field.name != "code"
    for name, wanted in vars(get_type_hints(kind)[field.name]).items()
    if inspect.isfunction(wanted) and not name.startswith("_")
]


def arguments(function: Any) -> list[tuple[str, Any, Any]]:
    """Return name, kind and default of each argument, but ``self``."""
    given = inspect.signature(function).parameters.values()
    return [(one.name, one.kind, one.default) for one in given if one.name != "self"]


@cache
def asked() -> set[tuple[str, str]]:
    """Return every name that is asked of something in the other rooms, with the last name of what it is asked of."""
    return {
        (getattr(node.value, "attr", getattr(node.value, "id", "")), node.attr)
        for path in ROOM.rglob("*.py")
        if path.relative_to(ROOM).parts[0] != "language"
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Attribute)
    }


IDS = [f"{module.__name__.rpartition('.')[2]}.{name}" for module, name, _ in FUNCTIONS]


@pytest.mark.parametrize(("module", "name", "wanted"), FUNCTIONS, ids=IDS)
def test_english_has_it_with_the_same_arguments(module: Any, name: str, wanted: Any) -> None:
    assert arguments(getattr(module, name)) == arguments(wanted)
    assert wanted.__doc__


def test_somebody_uses_each() -> None:
    assert {name for _, name, _ in FUNCTIONS} - {name for _, name in asked()} == set()


def test_somebody_says_each() -> None:
    assert {sentence.name for sentence in Sentence} - {name for of, name in asked() if of == "Sentence"} == set()
