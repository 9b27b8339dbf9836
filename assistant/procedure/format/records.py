"""Mappings of the format: a table of keys, each with its codec, from which a thing of the model is read and written.

The table is all there is: the reader, the writer, the JSON Schema and the format page are made from it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, TypeVar

from assistant.faults import quoted
from assistant.procedure.findings import Place, ReadingRule
from assistant.procedure.format.base import Alternatives, Codec, Context, Form, Given, Key, Plain
from assistant.procedure.format.tree import MapNode, Node

_T = TypeVar("_T")


def article(name: str) -> str:
    """Return a or an, whichever goes before ``name``."""
    return "an" if name[0] in "aeiou" else "a"


def _least(key: Key) -> int:
    return int(getattr(key.codec, "least", 0))


@dataclass(frozen=True, slots=True)
class KeyTable(Codec[_T]):
    """A mapping: its ``keys`` in the order in which they are written, and how a thing is made of their values.

    ``make`` makes the thing; ``parts`` returns, by key, what is written and is not simply the attribute that holds it.
    ``elsewhere`` says in which other mapping an unknown key belongs, or nothing.
    """

    name: str
    keys: tuple[Key, ...]
    make: Callable[[Given], _T | None]
    parts: Callable[[_T], Mapping[str, Any]] | None = None
    alternatives: Alternatives | None = None
    example: str = ""
    elsewhere: Callable[[str], str] | None = None
    harmless: Any = None
    late: ClassVar[bool] = True

    def nothing(self) -> _T | None:
        """Return what is made of a mapping in which nothing stands; nobody is told."""
        return self.make(Given(self.keys, self.alternatives, MapNode(1, 1), Context.silent()))

    def read(self, node: Node, key: str, context: Context) -> _T | None:
        if not isinstance(node, MapNode):
            hint = "write its keys on the lines below, indented by two spaces"
            context.complain(node, ReadingRule.VALUE_TYPE, f"{key} is a mapping", hint)
            return None
        before = context.findings.count
        given = Given(self.keys, self.alternatives, node, context)
        self._check(given)
        context.around.append(given)
        for one in sorted(self.keys, key=lambda key: key.codec.late):
            given[one.name]
        made = self.make(given)
        context.around.pop()
        if made is not None:
            context.places.add(made, node, sound=context.findings.count == before)
        return made

    def _check(self, given: Given) -> None:
        """Complain about keys that are not known, that have another name now, that are missing or too many."""
        for name, place in list(given.node.keys.items()):
            if name not in given.keys:
                self._unknown(given, name, place)
        for key in self.keys:
            if key.required and key.name not in given:
                none = f", or {key.name}: [] when there is none" if key.harmless == () and not _least(key) else ""
                text = f"This {self.name} has no {key.name}"
                given.complain(given.node, ReadingRule.MISSING_KEY, text, f"write {key.name}: with a value{none}")
        other = self.alternatives
        if other is not None and sum(name in given for name in other.kinds) != 1:
            given.complain(given.node, other.rule, other.told.reason, other.told.advice)

    def _unknown(self, given: Given, name: str, place: Place) -> None:
        new = next((key for key in self.keys if name and key.was == name), None)
        if new is not None:
            reason = f"The key {quoted(name)} has another name now"
            if new.name in given:
                return given.complain(place, ReadingRule.RENAMED_KEY, reason, f"write {new.name} only")
            given.complain(place, ReadingRule.RENAMED_KEY, reason, f"write {new.name}")
            # What stands under it is looked at all the same.
            node = given.node
            node.values[new.name], node.keys[new.name] = node.values[name], node.keys[name]
            return None
        known = self.elsewhere(name) if self.elsewhere is not None else ""
        if known:
            text = f"{quoted(name)} belongs to {known}, not to {article(self.name)} {self.name}"
            return given.complain(place, ReadingRule.UNKNOWN_KEY, text, "take it out or make two steps")
        hint = given.context.findings.suggest(name, given.keys)
        text = f"{quoted(name)} is not a key of {article(self.name)} {self.name}"
        return given.complain(place, ReadingRule.UNKNOWN_KEY, text, hint)

    def write(self, value: _T) -> Plain:
        parts = self.parts(value) if self.parts is not None else {}
        made: dict[str, Any] = {}
        always = self.alternatives.kinds if self.alternatives is not None and self.alternatives.holds else ()
        for key in sorted(self.keys, key=lambda key: key.name != "id"):
            one = parts[key.name] if key.name in parts else getattr(value, key.holds)
            if one is not None and (key.required or key.name in always or one != key.harmless):
                made[key.name] = key.codec.write(one)
        return made

    def form(self, forms: dict[str, Form]) -> Form:
        made: Form = {
            "type": "object",
            "properties": {key.name: {"description": key.means, **key.codec.schema(forms)} for key in self.keys},
            "required": [key.name for key in self.keys if key.required],
            "additionalProperties": False,
        }
        if self.alternatives is not None:
            made["oneOf"] = [{"required": [name]} for name in self.alternatives.kinds]
        return made

    def docs(self) -> str:
        return f"[{self.name}](#{self.name.replace(' ', '-')})"

    def inside(self) -> Iterator[Codec[Any]]:
        yield from (key.codec for key in self.keys)


def must(name: str, codec: Codec[Any], means: str, attribute: str = "", was: str = "") -> Key:
    """Return a key that must be there."""
    return Key(name, codec, means, attribute, required=True, was=was)


def makes(kind: Callable[..., _T]) -> Callable[[Given], _T]:
    """Return how a thing of the class ``kind`` is made: from the values of its keys, and its line where it has one."""
    lined = "line" in {one.name for one in dataclasses.fields(kind)}  # type: ignore[arg-type]

    def make(given: Given) -> _T:
        return kind(**given.values(), **({"line": given.line} if lined else {}))

    return make


def chosen(other: Alternatives) -> Callable[[Any], Mapping[str, Any]]:
    """Return the parts of a thing that has ``other``: the one key that is written."""

    def parts(thing: Any) -> Mapping[str, Any]:
        return {name: getattr(thing, other.holds) if kind == getattr(thing, other.kind) else None
                for name, kind in other.kinds.items()}  # fmt: skip

    return parts


def records(codec: Codec[Any]) -> dict[str, KeyTable[Any]]:
    """Return every mapping that ``codec`` is made of, itself too, by name."""
    found: dict[str, KeyTable[Any]] = {}
    waiting = [codec]
    while waiting:
        one = waiting.pop(0)
        if isinstance(one, KeyTable):
            if one.name in found:
                continue
            found[one.name] = one
        waiting += one.inside()
    return found
