"""One value of a file, both ways: read from a node, written as plain text, described to editors, told to authors."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, TypeVar

from assistant.faults import Fault, quoted
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Codec, Context, Form, Plain
from assistant.procedure.format.source import is_control
from assistant.procedure.format.tree import BrokenNode, ListNode, MapNode, Node, ScalarNode

_T = TypeVar("_T")


def scalar(node: Node, key: str, context: Context) -> ScalarNode | None:
    """Return ``node`` when it is one value with something in it; None after a complaint."""
    match node:
        case ScalarNode():
            if not node.is_null:
                return node
            what = f"There is nothing after {key}", "write its value, or take it out"
        case MapNode():
            what = f"A mapping stands where {key} has one value", "put a text that has a colon in it between quotes"
        case ListNode():
            what = f"A list stands where {key} has one value", "write one value without hyphens and brackets"
        case BrokenNode():
            return None
    context.complain(node, ReadingRule.VALUE_TYPE, *what)
    return None


@dataclass(frozen=True, slots=True)
class Value(Codec[_T]):
    """A value that is one text: ``parse`` reads it and ``written`` writes it.

    ``rule`` is the rule of a complaint, ``pattern`` its schema, and ``said`` what an author writes.
    """

    name: str
    parse: Callable[[str], _T | Fault]
    written: Callable[[_T], str]
    pattern: Mapping[str, Any]
    said: str
    rule: ReadingRule = ReadingRule.UNIT
    harmless: Any = None

    def read(self, node: Node, key: str, context: Context) -> _T | None:
        one = scalar(node, key, context)
        if one is None:
            return None
        value = self.parse(one.text)
        if isinstance(value, Fault):
            context.complain(one, self.rule, value.reason, value.advice)
            return None
        return value

    def write(self, value: _T) -> Plain:
        return self.written(value)

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return dict(self.pattern)

    def docs(self) -> str:
        return self.said


@dataclass(frozen=True, slots=True)
class Text(Codec[str]):
    """A text of at most ``most`` characters, exactly as it was written; line ends become spaces.

    ``spoken`` texts are noted for the rules about wording: what is a ``command``, and what is only told.
    """

    name: str
    most: int
    spoken: bool = False
    command: bool = False
    harmless: Any = ""

    def read(self, node: Node, key: str, context: Context) -> str | None:
        one = scalar(node, key, context)
        if one is None:
            return None
        text = re.sub(r"[ \t\r\n]+", " ", one.text).strip()
        what = f"The text of {key}"
        if not text:
            context.complain(one, ReadingRule.TEXT, f"{what} is empty", f"write it, or take {key} out")
        elif len(text) > self.most:
            context.complain(one, ReadingRule.TEXT, f"{what} is longer than {self.most} characters", "make it shorter")
        elif not text.isprintable() and any(is_control(letter) for letter in text):
            context.complain(one, ReadingRule.TEXT, f"{what} has a character that cannot be seen", "take it out")
        elif self.spoken:
            context.places.spoken.append((one, text, self.command))
        return text

    def write(self, value: str) -> Plain:
        return value

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return {"type": ["string", "number", "boolean"], "minLength": 1, "maxLength": self.most}

    def docs(self) -> str:
        return "text"


_ID = re.compile(r"[a-z][a-z0-9-]{0,39}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Ident(Codec[str]):
    """An id. ``of`` says whose it is when it refers to something that is listed elsewhere in the file."""

    of: str = ""
    name: str = "id"
    harmless: Any = ""

    def read(self, node: Node, key: str, context: Context) -> str | None:
        one = scalar(node, key, context)
        if one is None:
            return None
        if _ID.fullmatch(one.text) is None:
            hint = "write lower-case letters, digits, hyphens, a letter first"
            context.complain(one, ReadingRule.ID_FORM, f"{quoted(one.text)} is not an id for {key}", hint)
            return None
        if self.of:
            context.places.refer(one, self.of, one.text)
        return one.text

    def write(self, value: str) -> Plain:
        return value

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return {"type": "string", "pattern": f"^{_ID.pattern}$", "examples": ["hub-drive"]}

    def docs(self) -> str:
        return f"id of the {self.of}" if self.of else "id"


@dataclass(frozen=True, slots=True)
class OneOf(Codec[_T]):
    """One of a few words; each stands for a value."""

    name: str
    words: Mapping[str, _T]
    harmless: Any = None

    def read(self, node: Node, key: str, context: Context) -> _T | None:
        one = scalar(node, key, context)
        if one is None or one.text in self.words:
            return None if one is None else self.words[one.text]
        hint = context.findings.suggest(one.text, self.words)
        context.complain(one, ReadingRule.VALUE_TYPE, f"{quoted(one.text)} is not known for {key}", hint)
        return None

    def write(self, value: _T) -> Plain:
        return next(word for word, one in self.words.items() if one == value)

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return {"enum": list(self.words)}

    def docs(self) -> str:
        return " or ".join(f"`{word}`" for word in self.words)


@dataclass(frozen=True, slots=True)
class ListOf(Codec[tuple[_T, ...]]):
    """A list of values of one form, from ``least`` to ``most`` of them; ``name`` only where the schema names it."""

    item: Codec[_T]
    least: int = 0
    most: int = 0
    name: str = ""
    order: Callable[[_T], Any] | None = None
    """What the items are sorted by, where the order of the file does not matter."""
    harmless: Any = ()
    late: ClassVar[bool] = True

    def read(self, node: Node, key: str, context: Context) -> tuple[_T, ...] | None:
        read = (self.item.read(one, f"an item of {key}", context) for one in self.nodes(node, key, context))
        made = [one for one in read if one is not None]
        return tuple(made if self.order is None else sorted(made, key=self.order))

    def nodes(self, node: Node, key: str, context: Context) -> Iterator[Node]:
        """Yield the items that can be read, with a complaint for each that is no mapping and should be one."""
        if isinstance(node, ScalarNode | MapNode):
            hint = "write its items on lines that begin with a hyphen, or between [ and ]"
            context.complain(node, ReadingRule.VALUE_TYPE, f"{key} is a list", hint)
        if not isinstance(node, ListNode):
            return
        if len(node.items) < self.least:
            context.complain(node, ReadingRule.VALUE_TYPE, f"The list of {key} is empty", "write at least one item")
        if self.most and len(node.items) > self.most:
            text = f"The list of {key} has {len(node.items)} items"
            context.complain(node, ReadingRule.NESTING, text, f"the most is {self.most}")
            return
        for one in node.items:
            if self.item.example and isinstance(one, ScalarNode | ListNode):
                hint = f"write its keys, such as {{{self.item.example}}}"
                context.complain(one, ReadingRule.VALUE_TYPE, f"Every item of {key} is a mapping", hint)
            elif not isinstance(one, BrokenNode):
                yield one

    def write(self, value: tuple[_T, ...]) -> Plain:
        return [self.item.write(one) for one in value]

    def form(self, forms: dict[str, Form]) -> Form:
        least = {"minItems": self.least} if self.least else {}
        return {"type": "array", "items": self.item.schema(forms), **least}

    def docs(self) -> str:
        return f"list: {self.item.docs()}"

    def inside(self) -> Iterator[Codec[Any]]:
        yield self.item
