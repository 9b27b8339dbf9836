"""Rows and columns as they stand in a file: numbers, ranges and names that are called aloud."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from assistant.facts.codes import TakenWhen
from assistant.faults import quoted
from assistant.procedure.findings import Place, ReadingRule
from assistant.procedure.format.base import Codec, Context, Form, Given, Key, Plain
from assistant.procedure.format.codecs import ListOf, OneOf, scalar
from assistant.procedure.format.forms import LIMITS, matching, written_bolts
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.tree import ListNode, Node, ScalarNode
from assistant.procedure.rows import BlockRow, TableColumn

MOST_REPEATED = 99
_NAME = r"[A-Za-z][A-Za-z' -]{0,29}"
_NUMBERS = r"[1-9]\d?(?:\s*(?:-|–|to)\s*[1-9]\d?)?"
_RANGE = re.compile(r"([1-9]\d?)\s*(?:-|–|to)\s*([1-9]\d?)", re.ASCII)
_HINT = "write numbers up to 99, such as 1-6, or names in letters, such as [front left, front right]"


@dataclass(frozen=True, slots=True)
class CalledName(Codec[str]):
    """A name that is called aloud and heard: a few words in letters."""

    name: str = "called-name"
    alone: bool = False
    """Whether it is called by itself, and not one of a list."""
    harmless: Any = ""

    def read(self, node: Node, key: str, context: Context) -> str | None:
        one = scalar(node, key, context)
        if one is None:
            return None
        text = " ".join(one.text.split())
        if not re.fullmatch(_NAME, text):
            hint = "write a word or two in letters, at most 30"
            context.complain(one, ReadingRule.ROWS, f"{quoted(one.text)} cannot be called aloud as {key}", hint)
            return None
        if self.alone:
            context.places.called.append(((one, text),))
        return text

    def write(self, value: str) -> Plain:
        return value

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        return matching(_NAME, "cylinder", "front left")

    def docs(self) -> str:
        return "name in letters, such as cylinder"


@dataclass(frozen=True, slots=True)
class RowList(Codec[tuple[BlockRow, ...]]):
    """What a block or a table is gone through for: numbers, ranges and names, in the order of the work."""

    name: str = "repeated-rows"
    harmless: Any = ()

    def read(self, node: Node, key: str, context: Context) -> tuple[BlockRow, ...] | None:
        if isinstance(node, ListNode) and not node.items:
            text = f"There is nothing under {key}, so nothing is repeated"
            context.complain(node, ReadingRule.ROWS, text, "write for example 1-6, or take out what is repeated")
            return None
        nodes = node.items if isinstance(node, ListNode) else [node]
        found: dict[str, tuple[Place, BlockRow]] = {}
        for one in nodes:
            place = scalar(one, key, context)
            if place is None:
                return None
            for row in _rows_of(place, context):
                if row.id in found:
                    what = f"{quoted(row.name)} stands twice in the list"
                    context.complain(place, ReadingRule.ROWS, what, "take one out, or give it another name")
                    continue
                found[row.id] = place, row
        if len(found) > MOST_REPEATED:
            context.complain(node, ReadingRule.ROWS, f"{len(found)} rows are too many", f"the most is {MOST_REPEATED}")
            return None
        context.places.called.append(tuple((place, row.name) for place, row in found.values()))
        return tuple(row for _, row in found.values()) or None

    def write(self, value: tuple[BlockRow, ...]) -> Plain:
        numbers = [row.number for row in value if row.number is not None]
        return written_bolts(numbers) if len(numbers) == len(value) else [row.name for row in value]

    def form(self, forms: dict[str, Form]) -> Form:  # noqa: ARG002
        one: Form = {
            "anyOf": [{"type": "integer", "minimum": 1, "maximum": 99}, matching(f"{_NUMBERS}|{_NAME}", "1-6")]
        }
        return {"anyOf": [*one["anyOf"], {"type": "array", "items": one, "minItems": 1}]}

    def docs(self) -> str:
        return "numbers or names, such as 1-6 or [front left, front right]"


def _rows_of(one: ScalarNode, context: Context) -> Iterator[BlockRow]:
    text = " ".join(one.text.split())
    between = _RANGE.fullmatch(text)
    if between is not None:
        first, last = int(between[1]), int(between[2])
        step = 1 if last >= first else -1
        yield from (BlockRow(str(number)) for number in range(first, last + step, step))
    elif re.fullmatch(rf"[1-9]\d?|{_NAME}", text, re.ASCII):
        yield BlockRow(text)
    else:
        context.complain(one, ReadingRule.ROWS, f"{quoted(one.text)} is neither a number nor a name", _HINT)


CALLED = CalledName()
REPEATED_ROWS = RowList()
FOR_EACH = Key(
    "for each", CalledName(alone=True), "What is gone through one after the other, such as cylinder or wheel.", "each"
)
OF = Key("of", REPEATED_ROWS, "Which ones, in the order of the work.", "rows")


def _column(given: Given) -> TableColumn:
    return TableColumn(given["name"], given["limits"], given["when"], given["shim for"])


COLUMN = KeyTable(
    "reading",
    (
        must("name", CALLED, "What is read off, as it is called aloud."),
        must("limits", LIMITS, "Limits of the reading, with their unit."),
        Key("when", OneOf("when", {one.value: one for one in TakenWhen}), "found or left: whether the reading is of "
            "how it was found, or of how it is left."),
        Key("shim for", CALLED, "The clearance that is set by the shim read off here, by the name of its reading.",
            "shim_for"),
    ),
    _column,
    example="name: intake, limits: 0.15 to 0.25 mm",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ColumnList(ListOf[TableColumn]):
    """The columns of a table, no two of one name for the same time."""

    item: Codec[TableColumn] = COLUMN
    least: int = 1
    most: int = MOST_REPEATED

    def read(self, node: Node, key: str, context: Context) -> tuple[TableColumn, ...] | None:
        found: dict[str, TableColumn] = {}
        called: dict[str, Place] = {}
        for one in self.nodes(node, key, context):
            column = self.item.read(one, f"an item of {key}", context)
            if column is None or not column.name:
                continue
            place = context.places.under(column, "name") or one
            if column.id in found:
                what = f"{quoted(column.name)} stands twice in {key}"
                hint = "take one out, give it another name, or say when: found and when: left"
                context.complain(place, ReadingRule.ROWS, what, hint)
                continue
            found[column.id] = column
            called.setdefault(column.name, place)
        context.places.called.append(tuple((place, name) for name, place in called.items()))
        return tuple(found.values())


READING_COLUMNS = ColumnList()
