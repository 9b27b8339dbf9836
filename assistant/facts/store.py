"""From facts to JSON values and back: the one converter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from types import ModuleType
from typing import Any, TypeVar, get_type_hints

import msgspec
import msgspec.structs

from assistant.facts import (
    asking,
    asking_back,
    bay,
    correcting,
    customer,
    detours,
    extra,
    going,
    inputs,
    packs,
    people,
    photos,
    reminders,
    scan,
    second,
    shims,
    steps,
    taking_back,
    withdrawn,
)
from assistant.facts.asking import Ask, Question, tag_of_ask
from assistant.facts.base import PERSONAL, Fact, FactFault, Unreadable
from assistant.facts.kinds import (
    amount,
    check,
    count,
    counting,
    fit,
    judged,
    measure,
    reading,
    retightened,
    tighten,
    trouble,
    wait,
)
from assistant.facts.upcasters import UPCASTERS, Upcaster

_F = TypeVar("_F", bound=Fact)
_KINDS: dict[str, type[Fact]] = {}
_QUESTIONS: dict[str, type[Ask]] = {}


def register(fact: type[Fact]) -> type[Fact]:
    """Make a class of facts known; a kind of step brings its own.

    Raises:
        ValueError: another class has its kind.
    """
    if _KINDS.setdefault(fact.KIND, fact) is not fact:
        raise ValueError(f'Two classes of facts have the kind "{fact.KIND}".')
    return fact


def register_question(question: type[Ask]) -> type[Ask]:
    """Make a class of questions known; a kind of step brings its own.

    Raises:
        ValueError: another class has its code.
    """
    if _QUESTIONS.setdefault(tag_of_ask(question), question) is not question:
        raise ValueError(f'Two classes of questions have the code "{tag_of_ask(question)}".')
    return question


@contextmanager
def known(*classes: type[Fact | Ask]) -> Iterator[None]:
    """Know classes of facts and questions for a while, as in a test; one stands in for what has its kind, or its code.

    At the end all is as it was.
    """
    before = dict(_KINDS), dict(_QUESTIONS)
    for cls in classes:
        if issubclass(cls, Fact):
            _KINDS[cls.KIND] = cls
        else:
            _QUESTIONS[tag_of_ask(cls)] = cls
    personal_fields.cache_clear()
    try:
        yield
    finally:
        for table, was in ((_KINDS, before[0]), (_QUESTIONS, before[1])):
            table.clear()
            table.update(was)  # type: ignore[arg-type]
        personal_fields.cache_clear()


def fact_classes() -> Mapping[str, type[Fact]]:
    """Return every class of facts by its kind."""
    return _KINDS


def questions() -> Mapping[str, type[Ask]]:
    """Return every class of questions by its code."""
    return _QUESTIONS


def _register_all(module: ModuleType) -> None:
    """Make known what ``module`` defines."""
    for one in vars(module).values():
        if not isinstance(one, type) or one.__module__ != module.__name__:
            continue
        if issubclass(one, Fact) and one.KIND:
            register(one)
        elif issubclass(one, Ask) and one is not Ask:
            register_question(one)


for _module in (
    inputs, going, detours, people, asking, second, steps, reminders, extra, counting, count, fit, reading, measure,
    check, amount, wait, tighten, trouble, shims, packs, bay, correcting, customer, judged, retightened, asking_back,
    photos,
    scan, withdrawn,
):  # fmt: skip
    _register_all(_module)
_register_all(taking_back)


def dump(fact: Fact) -> tuple[str, int, dict[str, Any]]:
    """Return kind, version and fields of ``fact``; fields are JSON values, decimals as text."""
    return fact.KIND, fact.VERSION, msgspec.json.decode(msgspec.json.encode(fact))


def with_fields(fact: _F, **fields: Any) -> _F:
    """Return ``fact`` with some of its fields changed; for whoever counts a part of it, never for the journal."""
    return msgspec.structs.replace(fact, **fields)


def load(
    kind: str, version: int, data: Mapping[str, Any], upcasters: Mapping[tuple[str, int], Upcaster] = UPCASTERS
) -> Fact:
    """Return the fact that was stored.

    Raises:
        FactFault: no such kind, a newer version, or fields that are none of its own.
    """
    cls = _KINDS.get(kind)
    if cls is None:
        raise FactFault(f'this version knows no entry of the kind "{kind}"')
    if version > cls.VERSION:
        raise FactFault(f'"{kind}" has the version {version}, and this program knows {cls.VERSION}')
    fields = dict(data)
    for old in range(version, cls.VERSION):
        fields = _lifted(kind, old, fields, upcasters)
    if unknown := fields.keys() - set(cls.__struct_fields__):
        raise FactFault(f'"{kind}" has a field that is none of its own: {min(unknown)}')
    try:
        return msgspec.convert(fields, cls, dec_hook=_question)
    except msgspec.ValidationError as fault:
        raise FactFault(f'"{kind}" cannot be read: {fault}') from fault


def _question(kind: type, value: Any) -> Any:
    """Return the question that was stored as ``value``; msgspec asks for what it does not know itself."""
    if kind is not Question or not isinstance(value, Mapping):
        raise TypeError(f"no {kind.__name__} can be made of {value!r}")
    cls = _QUESTIONS.get(str(value.get("what")))
    if cls is None:
        raise ValueError(f'no question has the code "{value.get("what")}"')
    return msgspec.convert(value, cls)


def _lifted(
    kind: str, old: int, fields: dict[str, Any], upcasters: Mapping[tuple[str, int], Upcaster]
) -> dict[str, Any]:
    """Return ``fields`` of the version ``old`` as those of the next one.

    Raises:
        FactFault: there is no upcaster, or the fields are none that it can use.
    """
    upcaster = upcasters.get((kind, old))
    if upcaster is None:
        raise FactFault(f'"{kind}" has the version {old}, and this program has no way from there to version {old + 1}')
    try:
        return upcaster(fields)
    except (LookupError, TypeError, ValueError, ArithmeticError) as fault:
        raise FactFault(f'"{kind}" of version {old} cannot be read: {fault!r}') from fault


def read(kind: str, version: int, data: Mapping[str, Any]) -> Fact:
    """Return the fact that was stored, or an :class:`Unreadable` that says why it is none of this version."""
    try:
        return load(kind, version, data)
    except FactFault as fault:
        return Unreadable(kind=kind, why=str(fault))


@cache
def personal_fields(kind: str) -> tuple[str, ...]:
    """Return the names of the fields of ``kind`` that tell of a person; () for a kind that is not known."""
    cls = _KINDS.get(kind)
    if cls is None:
        return ()
    hints = get_type_hints(cls, include_extras=True)
    return tuple(name for name in cls.__struct_fields__ if PERSONAL in getattr(hints[name], "__metadata__", ()))
