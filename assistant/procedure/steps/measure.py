"""A step that reads off a table: the same readings at each of several rows, such as the cylinders of an engine."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Given, Key
from assistant.procedure.format.rows import FOR_EACH, OF, READING_COLUMNS
from assistant.procedure.format.shims import SHIMS
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step, Traits
from assistant.procedure.rows import BlockRow, ShimStock, TableColumn

MOST_CELLS = 99
"""So many readings one table has at most: they are counted aloud."""


@dataclass(frozen=True, slots=True)
class MeasureStep(Step):
    """Read off every one of ``columns`` at every one of ``rows``, each of which is an ``each``, row by row."""

    traits: ClassVar[Traits] = Traits(asks=True, may_turn=True)

    each: str = ""
    rows: tuple[BlockRow, ...] = ()
    columns: tuple[TableColumn, ...] = ()
    shims: ShimStock | None = None

    def cells(self) -> Iterator[tuple[BlockRow, TableColumn]]:
        """Yield every place of the table in the order of the work."""
        yield from ((row, column) for row in self.rows for column in self.columns)

    def in_row(self, row: BlockRow, each: str) -> MeasureStep:
        """Return the step as it stands in a block: one without rows of its own reads off the row of the block."""
        return self if self.rows else replace(self, rows=(row,), each=each)


def _check(given: Given) -> None:
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


step_format(
    MeasureStep,
    "measure",
    "Read off a table: the command, as it is spoken.",
    FOR_EACH,
    OF,
    Key("readings", READING_COLUMNS, "What is read off at each of them, in order.", "columns", required=True),
    Key("shims", SHIMS, "The shims that can be had: then the new ones are worked out when all is read off."),
    check=_check,
)
