"""The kinds of step, and what each room knows of them: one registry, so that the base of no room names a kind.

A kind of step is a class of its own (a :class:`~assistant.procedure.model.Step`) and one small module in each room that
must know it. A room says once what such a part is::

    SESSION: Room[SessionKind] = Room("session")

The module of a kind attaches its part when it is imported::

    KINDS.add(WaitStep, SESSION, SessionKind(...))

The base code of that room asks for the part of a step, and never which kind it is::

    KINDS.part(step, SESSION).begin(...)

The package that holds the parts of a room imports them all, and whoever asks imports that package. What a room takes
for a kind that has no part of its own there is attached to ``Step``. The classes lie in
:mod:`assistant.procedure.steps`, each with its keys of the file format, which is the part of the room ``format``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Generic, TypeVar, cast

from assistant.procedure.model import Step

P = TypeVar("P")


class Room(Generic[P]):
    """A room that knows kinds of step; ``P`` is what it knows of one."""

    def __init__(self, name: str) -> None:
        self.name = name


class Kinds:
    """What every room knows of every kind of step."""

    def __init__(self) -> None:
        self._parts: dict[Room[Any], dict[type[Step], Any]] = {}

    def add(self, kind: type[Step], room: Room[P], part: P) -> P:
        """Attach ``part``, which is what ``room`` knows of ``kind``; return it.

        Raises:
            ValueError: the room has a part for this kind already.
        """
        parts = self._parts.setdefault(room, {})
        if kind in parts:
            raise ValueError(f"the room {room.name} has a part for {kind.__name__} already")
        parts[kind] = part
        return part

    def find(self, step: Step | type[Step], room: Room[P]) -> P | None:
        """Return what ``room`` knows of the kind of ``step``, or of the nearest class above it; None when nothing."""
        parts = self._parts.get(room, {})
        kind = step if isinstance(step, type) else type(step)
        return next((cast(P, parts[one]) for one in kind.__mro__ if one in parts), None)

    def part(self, step: Step | type[Step], room: Room[P]) -> P:
        """Return what ``room`` knows of the kind of ``step``.

        Raises:
            LookupError: nothing; the module of that kind is missing in the room, or was not imported.
        """
        found = self.find(step, room)
        if found is None:
            name = (step if isinstance(step, type) else type(step)).__name__
            raise LookupError(f"the room {room.name} has no part for {name}: import the module that adds it")
        return found

    def parts(self, room: Room[P]) -> dict[type[Step], P]:
        """Return all parts of ``room`` by their kind, in the order in which they were added."""
        return dict(self._parts.get(room, {}))

    @contextmanager
    def known(self, kind: type[Step]) -> Iterator[None]:
        """Forget ``kind`` in every room at the end; for a kind that is there for a while, as in a test."""
        try:
            yield
        finally:
            for parts in self._parts.values():
                parts.pop(kind, None)


KINDS = Kinds()
"""The one registry."""
