"""A step that reads off a table: the same readings at each of several rows, such as the cylinders of an engine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from assistant.facts.codes import TakenWhen
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Context, Form, Given, Key, Plain
from assistant.procedure.format.codecs import Ident
from assistant.procedure.format.rows import FOR_EACH, OF, READING_COLUMNS
from assistant.procedure.format.shims import SHIMS
from assistant.procedure.format.steps import step_format
from assistant.procedure.format.tree import Node
from assistant.procedure.model import Limits, Step, Traits
from assistant.procedure.rows import BlockRow, ShimStock, TableColumn

MOST_CELLS = 99
"""So many readings one table has at most: they are counted aloud."""


@dataclass(frozen=True, slots=True)
class FreeLengths:
    """The bolts of a ``group`` (id) whose free length is read off, and the longest that is used again."""

    group: str
    bolts: tuple[int, ...]
    limits: Limits


@dataclass(frozen=True, slots=True)
class MeasureStep(Step):
    """Read off every one of ``columns`` at every one of ``rows``, each of which is an ``each``, row by row.

    With ``lengths`` these are the bolts of a group, and their free length.
    """

    traits: ClassVar[Traits] = Traits(asks=True, may_turn=True)

    each: str = ""
    rows: tuple[BlockRow, ...] = ()
    columns: tuple[TableColumn, ...] = ()
    shims: ShimStock | None = None
    lengths: FreeLengths | None = None

    def __post_init__(self) -> None:
        """Make the table of the free lengths, where it is one of them."""
        if self.lengths is not None:
            object.__setattr__(self, "each", "bolt")
            object.__setattr__(self, "rows", tuple(BlockRow(str(bolt)) for bolt in self.lengths.bolts))
            object.__setattr__(self, "columns", (TableColumn("length", self.lengths.limits, TakenWhen.FOUND),))

    def cells(self) -> Iterator[tuple[BlockRow, TableColumn]]:
        """Yield every place of the table in the order of the work."""
        yield from ((row, column) for row in self.rows for column in self.columns)

    def in_row(self, row: BlockRow, each: str) -> MeasureStep:
        """Return the step as it stands in a block: one without rows of its own reads off the row of the block."""
        return self if self.rows else replace(self, rows=(row,), each=each)


@dataclass(frozen=True, slots=True)
class _LengthsOf(Ident):
    """The id of a group with a free length; its bolts and its limit are taken from there."""

    of: str = "group"
    harmless: Any = None

    def read(self, node: Node, key: str, context: Context) -> Any:
        name = Ident.read(self, node, key, context)
        group = context.made.get("groups", {}).get(name)
        if group is None:
            return None
        if group.free_length is None:
            text, hint = (
                f'The group "{name}" has no free length',
                "write free_length: in the group, as its procedure says",
            )
            context.complain(node, ReadingRule.MISSING_KEY, text, hint)
            return None
        return FreeLengths(group.id, group.bolts, group.free_length)

    def write(self, value: Any) -> Plain:
        return str(value.group)

    def form(self, forms: dict[str, Form]) -> Form:
        return Ident.form(self, forms)


_OF_TABLE = ("for each", "of", "readings", "shims")


def _check(given: Given) -> None:
    if "lengths" in given:
        for key in (key for key in _OF_TABLE if key in given):
            text, hint = (
                f"{key} does not go with lengths",
                "take it out: the bolts and the limit are those of the group",
            )
            given.complain(given.node.keys[key], ReadingRule.UNKNOWN_KEY, text, hint)
        return
    if "readings" not in given:
        text, hint = "This table of readings has no readings", "write readings: or lengths:"
        given.complain(given.node, ReadingRule.MISSING_KEY, text, hint)
    inside = given.context.made.get("block", False)
    missing = [key for key in ("for each", "of") if key not in given]
    if missing and not (inside and len(missing) == 2):
        text = f"This table of readings has no {missing[0]}"
        hint = "write for each: and of:, such as for each: cylinder and of: 1-6"
        given.complain(given.node, ReadingRule.MISSING_KEY, text, hint)
    cells = len(given["of"] or ()) * len(given["readings"] or ())
    if cells > MOST_CELLS:
        text = f"This table has {cells} readings"
        given.complain(given.at("readings"), ReadingRule.ROWS, text, f"make several of it, of at most {MOST_CELLS}")


def _parts(step: MeasureStep) -> Mapping[str, Any]:
    return {} if step.lengths is None else {"for each": "", "of": (), "readings": ()}


step_format(
    MeasureStep,
    "measure",
    "Read off a table: the command, as it is spoken.",
    FOR_EACH,
    OF,
    Key("readings", READING_COLUMNS, "What is read off at each of them, in order.", "columns"),
    Key("shims", SHIMS, "The shims that can be had: then the new ones are worked out when all is read off."),
    Key("lengths", _LengthsOf(), "Instead: id of the group whose free lengths are read off.", default=None),
    parts=_parts,
    check=_check,
)
