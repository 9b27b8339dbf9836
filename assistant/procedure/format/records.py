"""Mappings of the format: a table of keys, each with its codec, from which a thing of the model is read and written.

The table is all there is: the reader, the writer, the JSON Schema and the format page are made from it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, TypeVar

from assistant.faults import Fault, quoted
from assistant.procedure.findings import Place, ReadingRule
from assistant.procedure.format.codecs import Codec, Context, Form, Plain
from assistant.procedure.format.tree import MapNode, Node

_T = TypeVar("_T")
_SAME = object()


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a mapping: its codec, what it means, and the attribute of the model that holds its value.

    ``default`` is taken when the key is not there, or after a complaint, and is not written; it is the harmless value
    of the codec when it is not given. ``was`` is the name that the key had before; it is refused with the new one.
    """

    name: str
    codec: Codec[Any]
    means: str
    attribute: str = ""
    required: bool = False
    default: Any = _SAME
    was: str = ""

    @property
    def holds(self) -> str:
        """Return the attribute of the model."""
        return self.attribute or self.name

    @property
    def harmless(self) -> Any:
        """Return what is taken when there is no value."""
        return self.codec.harmless if self.default is _SAME else self.default


@dataclass(frozen=True, slots=True)
class Alternatives:
    """Keys of which a mapping has exactly one: what each makes of the attribute ``kind``.

    ``holds`` is the attribute that takes the value of whichever is there; when it is empty, each key has its own.
    ``told`` is the complaint when there is none or more than one.
    """

    kind: str
    kinds: Mapping[str, Any]
    told: Fault
    holds: str = ""
    rule: ReadingRule = ReadingRule.MISSING_KEY


class Given:
    """The values of one mapping that is being read, by their keys; each is read when it is first asked for."""

    def __init__(self, record: KeyTable[Any], node: MapNode, context: Context) -> None:
        self.record = record
        self.node = node
        self.context = context
        self.outer = context.around[-1] if context.around else None
        """The mapping in which this one stands."""
        self._read: dict[str, Any] = {}
        self._made: dict[Any, Any] = {}
        self._keys = {key.name: key for key in record.keys}

    @property
    def line(self) -> int:
        """The line in which the mapping begins."""
        return self.node.line

    def __contains__(self, key: str) -> bool:
        return key in self.node.values

    def __getitem__(self, name: str) -> Any:
        if name not in self._read:
            key, node = self._keys[name], self.node.values.get(name)
            value = None if node is None else key.codec.read(node, name, self.context)
            self._read[name] = key.harmless if value is None else value
        return self._read[name]

    def once(self, make: Callable[[Given], _T]) -> _T:
        """Return what ``make`` makes of this mapping; it is made once, however many ask for it."""
        if make not in self._made:
            self._made[make] = make(self)
        made: _T = self._made[make]
        return made

    def at(self, key: str) -> Place:
        """Return the place of the value of ``key``, or of the mapping when the key is not there."""
        return self.node.values.get(key, self.node)

    def complain(self, place: Place, rule: str, reason: str, advice: str) -> None:
        """Say what is wrong at ``place`` and what to write instead."""
        self.context.complain(place, rule, reason, advice)

    def values(self, *without: str) -> dict[str, Any]:
        """Return every value but those of some keys, by the attribute that holds it."""
        other = self.record.alternatives
        left_out = {*without, *(other.kinds if other is not None and other.holds else ())}
        made = {key.holds: self[key.name] for key in self.record.keys if key.name not in left_out}
        if other is not None:
            chosen = next((name for name in other.kinds if name in self), next(iter(other.kinds)))
            made[other.kind] = other.kinds[chosen]
            if other.holds:
                made[other.holds] = self[chosen]
        return made

    def check(self) -> None:
        """Complain about keys that are not known, that have another name now, that are missing or too many."""
        for name, place in list(self.node.keys.items()):
            if name not in self._keys:
                self._unknown(name, place)
        record = self.record
        for key in record.keys:
            if key.required and key.name not in self:
                none = f", or {key.name}: [] when there is none" if key.harmless == () and not _least(key) else ""
                text = f"This {record.name} has no {key.name}"
                self.complain(self.node, ReadingRule.MISSING_KEY, text, f"write {key.name}: with a value{none}")
        other = record.alternatives
        if other is not None and sum(name in self for name in other.kinds) != 1:
            self.complain(self.node, other.rule, other.told.reason, other.told.advice)

    def _unknown(self, name: str, place: Place) -> None:
        record = self.record
        new = next((key for key in record.keys if name and key.was == name), None)
        if new is not None:
            reason = f"The key {quoted(name)} has another name now"
            if new.name in self:
                return self.complain(place, ReadingRule.RENAMED_KEY, reason, f"write {new.name} only")
            self.complain(place, ReadingRule.RENAMED_KEY, reason, f"write {new.name}")
            # What stands under it is looked at all the same.
            self.node.values[new.name], self.node.keys[new.name] = self.node.values[name], self.node.keys[name]
            return None
        known = record.elsewhere(name) if record.elsewhere is not None else ""
        if known:
            text = f"{quoted(name)} belongs to {known}, not to {article(record.name)} {record.name}"
            return self.complain(place, ReadingRule.UNKNOWN_KEY, text, "take it out or make two steps")
        hint = self.context.findings.suggest(name, self._keys)
        text = f"{quoted(name)} is not a key of {article(record.name)} {record.name}"
        return self.complain(place, ReadingRule.UNKNOWN_KEY, text, hint)


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
        return self.make(Given(self, MapNode(1, 1), Context.silent()))

    def read(self, node: Node, key: str, context: Context) -> _T | None:
        if not isinstance(node, MapNode):
            hint = "write its keys on the lines below, indented by two spaces"
            context.complain(node, ReadingRule.VALUE_TYPE, f"{key} is a mapping", hint)
            return None
        before = context.findings.count
        given = Given(self, node, context)
        given.check()
        context.around.append(given)
        for one in sorted(self.keys, key=lambda key: key.codec.late):
            given[one.name]
        made = self.make(given)
        context.around.pop()
        if made is not None:
            context.places.add(made, node, sound=context.findings.count == before)
        return made

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
