"""What is read off in a table of readings: row by row, column by column."""

from __future__ import annotations

from typing import Annotated

import msgspec

from assistant.facts.asking import Ask
from assistant.facts.base import PERSONAL, Bounds, Fact, Quantity
from assistant.facts.codes import Side, TakenWhen
from assistant.facts.steps import StepAnswer


class CellAt(msgspec.Struct, frozen=True):
    """One place of a table: the ids of its row and of its column."""

    row: str
    column: str


class CellRead(Fact, frozen=True, kw_only=True):
    """A reading was taken down in the table of a step: where, on which ``side`` of its limits it lies, and when read.

    ``when`` is None where the procedure does not say whether it is of how something was found or left.
    """

    KIND = "cell_read"
    step: str
    row: str
    column: str
    reading: Quantity
    limits: Bounds
    side: Side
    when: TakenWhen | None = None
    repeated: bool = False


class CellReached(Fact, frozen=True, kw_only=True):
    """In the table of ``step``, ``cell`` was asked for by name or gone back to; None: the first open one is next."""

    KIND = "cell_reached"
    step: str
    cell: CellAt | None


class CellLeftOut(Fact, frozen=True, kw_only=True):
    """A reading of the table of a step was left out for a reason."""

    KIND = "cell_left_out"
    step: str
    row: str
    column: str
    reason: Annotated[str, PERSONAL]


class CellReopened(Fact, frozen=True, kw_only=True):
    """A reading of the table of a step is open again, and comes next: neither read nor left out."""

    KIND = "cell_reopened"
    step: str
    row: str
    column: str


class TableRead(StepAnswer, frozen=True, kw_only=True):
    """All readings of a table are there or ``left_out``; those ``off`` are out of limits and should not be.

    A reading of how something was found is never off: it is what it is, and how it is left has to be right.
    """

    KIND = "table_read"
    off: tuple[CellAt, ...] = ()
    left_out: tuple[CellAt, ...] = ()

    @property
    def is_right(self) -> bool:
        """Whether no reading is out of limits that should be within."""
        return not self.off


class AskFarReading(Ask, frozen=True):
    """Can a reading be right that is far from its limits."""

    step: str
    cell: CellAt
    reading: Quantity


class AskSkipReading(Ask, frozen=True):
    """Leave a reading of a table out."""

    step: str
    cell: CellAt


class AskReadingsOff(Ask, frozen=True):
    """Take a table with readings out of limits."""

    step: str
    cells: tuple[CellAt, ...]
