"""From facts to JSON values and back: the one converter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from types import ModuleType
from typing import Any, get_type_hints

import msgspec

from assistant.facts import asking, bay, bolts, going, inputs, people, steps
from assistant.facts.base import PERSONAL, Fact, FactFault, Unreadable
from assistant.facts.upcasters import UPCASTERS, Upcaster

_KINDS: dict[str, type[Fact]] = {}


def register(fact: type[Fact]) -> type[Fact]:
    """Make a class of facts known; a kind of step brings its own.

    Raises:
        ValueError: another class has its kind.
    """
    if _KINDS.setdefault(fact.KIND, fact) is not fact:
        raise ValueError(f'Two classes of facts have the kind "{fact.KIND}".')
    return fact


@contextmanager
def known(fact: type[Fact]) -> Iterator[None]:
    """Know a class of facts for a while, as in a test; it stands in for the one that has its kind, if there is one."""
    before = _KINDS.get(fact.KIND)
    _KINDS[fact.KIND] = fact
    personal_fields.cache_clear()
    try:
        yield
    finally:
        if before is None:
            del _KINDS[fact.KIND]
        else:
            _KINDS[fact.KIND] = before
        personal_fields.cache_clear()


def kinds() -> Mapping[str, type[Fact]]:
    """Return every class of facts by its kind."""
    return _KINDS


def _of(module: ModuleType) -> Iterator[type[Fact]]:
    for one in vars(module).values():
        if isinstance(one, type) and issubclass(one, Fact) and one.KIND and one.__module__ == module.__name__:
            yield one


for _module in (inputs, going, people, asking, steps, bolts, bay):
    for _fact in _of(_module):
        register(_fact)


def dump(fact: Fact) -> tuple[str, int, dict[str, Any]]:
    """Return kind, version and fields of ``fact``; fields are JSON values, decimals as text."""
    return fact.KIND, fact.VERSION, msgspec.json.decode(msgspec.json.encode(fact))


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
        return msgspec.convert(fields, cls)
    except msgspec.ValidationError as fault:
        raise FactFault(f'"{kind}" cannot be read: {fault}') from fault


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
