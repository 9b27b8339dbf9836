"""What a tightening table says, as values: rows that were understood, groups of bolts, actions, and what is left."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from assistant.authoring.tables.stages import StageLabel
from assistant.authoring.tables.values import Size, TableTarget
from assistant.procedure.findings import Finding
from assistant.procedure.steps.tighten import StagePurpose


class TablePass(NamedTuple):
    """When a target is reached: in which stage that the row names, in which column, and as which value of its cell."""

    stage: tuple[int, int]
    column: int
    part: int


@dataclass(slots=True)
class TableBolts:
    """A group of the table: its name, size, and bolts in the order in which they come."""

    name: str
    size: Size
    where: str = ""
    grade: str = ""
    bolts: tuple[int, ...] = ()
    rows: list[str] = field(default_factory=list)
    decide: list[str] = field(default_factory=list)
    ordered: bool = False
    """Whether the table itself names the order of tightening."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One action: bolts of one group, in their order, to one target."""

    group: TableBolts
    bolts: tuple[int, ...]
    target: TableTarget
    tool: str = ""
    """Name of the tool, where the table has one."""


@dataclass(frozen=True, slots=True)
class RowSaid:
    """What a row says of its pass and its stage besides; None, 0 or "" where it says nothing."""

    part: int = 0
    of: int = 0
    """How many passes its stage has."""
    label: str = ""
    purpose: StagePurpose | None = None
    repeat: int = 0
    together: bool | None = None
    tool: str = ""
    reseat: str = ""


@dataclass(slots=True)
class PassRead:
    """One pass of the table: its actions in their order, and the name of its ``stage``, where the table gives one.

    Passes that follow each other and have one name are one stage.
    """

    turns: list[Turn]
    stage: str = ""
    said: RowSaid = RowSaid()


@dataclass(slots=True)
class TableContent:
    """What was understood of a table, and what was not."""

    groups: list[TableBolts] = field(default_factory=list)
    passes: list[PassRead] = field(default_factory=list)
    """In their order; the targets of one are all torques or all angles."""
    remarks: list[str] = field(default_factory=list)
    wrong: list[Finding] = field(default_factory=list)
    """What was not understood, with its row and column."""
    notes: list[str] = field(default_factory=list)
    """The table as it was read, row by row."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of the table that was wholly understood; what it does not say is empty."""

    at: int
    place: str
    name: str
    where: str
    size: Size
    grade: str
    bolts: tuple[int, ...]
    count: int
    order: str
    stage: StageLabel | None
    targets: dict[TablePass, TableTarget]
    said: RowSaid = RowSaid()


class TableAction(NamedTuple):
    """One action with the pass and the row that it comes from, and the name of the stage that its row or column has."""

    place: TablePass
    row: TableRow
    turn: Turn
    stage: str = ""
