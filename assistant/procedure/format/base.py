"""What the format is made of: codecs, the keys of a mapping with theirs, and what is at hand while a file is read.

A codec is all that the format knows of one form of value. Reading never raises: what is wrong is complained about, with
its place, and the answer is None then, so that the key's harmless value is taken.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, Generic, TypeVar

from assistant.faults import Fault
from assistant.procedure.findings import Findings, Place, ReadingRule
from assistant.procedure.format.places import Places
from assistant.procedure.format.tree import MapNode, Node

_T = TypeVar("_T")
Plain = str | list[Any] | dict[str, Any]
"""What is written: texts, and lists and mappings of texts."""
Form = dict[str, Any]
"""A part of a JSON Schema."""
_SAME = object()


@dataclass(slots=True)
class Context:
    """What is at hand while one file is read: where complaints go, where values stand, and what is being read.

    ``around`` are the mappings that are open, the outermost first; ``made`` holds what some codec wants to know again.
    """

    findings: Findings
    places: Places = field(default_factory=Places)
    around: list[Given] = field(default_factory=list)
    made: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def silent(cls) -> Context:
        """Return one of which nobody hears."""
        return cls(Findings(""))

    def complain(self, place: Place, rule: str, reason: str, advice: str) -> None:
        """Say what is wrong at ``place`` and what to write instead."""
        self.findings.add(place, rule, reason, advice)


class Codec(ABC, Generic[_T]):
    """One form of value. ``name`` is its name in the schema; ``harmless`` is taken when there is no value to take."""

    name: str
    harmless: Any = None
    example: str = ""
    """Only of what is written as a mapping: what its keys are like."""
    late: ClassVar[bool] = False
    """Whether it is read after its neighbours, because it may ask for them."""

    @abstractmethod
    def read(self, node: Node, key: str, context: Context) -> _T | None:
        """Return the value of ``node``, which stands under ``key``; None after a complaint."""

    @abstractmethod
    def write(self, value: _T) -> Plain:
        """Return ``value`` as it stands in a file."""

    @abstractmethod
    def form(self, forms: dict[str, Form]) -> Form:
        """Return the JSON Schema of the value; what it is made of is put into ``forms``."""

    @abstractmethod
    def docs(self) -> str:
        """Return what an author writes, in a few words."""

    def inside(self) -> Iterator[Codec[Any]]:
        """Yield the codecs that this one is made of."""
        yield from ()

    def schema(self, forms: dict[str, Form]) -> Form:
        """Return the JSON Schema of the value: a reference to its form in ``forms``, where it is put by its name."""
        if not self.name:
            return self.form(forms)
        name = self.name.replace(" ", "-")
        if name not in forms:
            forms[name] = {}  # the name is taken before what stands inside is looked at
            forms[name] = self.form(forms)
        return {"$ref": f"#/$defs/{name}"}


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

    def __init__(self, keys: Iterable[Key], other: Alternatives | None, node: MapNode, context: Context) -> None:
        self.keys = {key.name: key for key in keys}
        self.other = other
        self.node = node
        self.context = context
        self.outer = context.around[-1] if context.around else None
        """The mapping in which this one stands."""
        self._read: dict[str, Any] = {}
        self._made: dict[Any, Any] = {}

    @property
    def line(self) -> int:
        """The line in which the mapping begins."""
        return self.node.line

    def __contains__(self, key: str) -> bool:
        return key in self.node.values

    def __getitem__(self, name: str) -> Any:
        if name not in self._read:
            key, node = self.keys[name], self.node.values.get(name)
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
        other = self.other
        left_out = {*without, *(other.kinds if other is not None and other.holds else ())}
        made = {key.holds: self[key.name] for key in self.keys.values() if key.name not in left_out}
        if other is not None:
            chosen = next((name for name in other.kinds if name in self), next(iter(other.kinds)))
            made[other.kind] = other.kinds[chosen]
            if other.holds:
                made[other.holds] = self[chosen]
        return made
