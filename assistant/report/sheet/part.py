"""What a work sheet knows of a kind of step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Step
from assistant.report.sheet.listed import Listed


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run of a stage: its group, its target, its limits and the like, and its bolts in order."""

    group: str
    target: str
    more: str
    bolts: tuple[int, ...]
    reads: bool
    """Whether a value is read off at each bolt."""


@dataclass(frozen=True, slots=True)
class StageTable:
    """One stage: its title, its tool, what else to know, and its runs."""

    title: str
    tool: str
    notes: tuple[str, ...]
    runs: tuple[RunLine, ...]


@dataclass(frozen=True, slots=True)
class GroupKey:
    """What a shape on a bolt map stands for."""

    shape: str
    """SVG of our own."""
    text: str
    hidden: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A bolt map with its keys, and the stages that are printed below it."""

    svg: str = ""
    """SVG of our own, in which the words of people are escaped."""
    keys: tuple[GroupKey, ...] = ()
    stages: tuple[StageTable, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetTable:
    """An empty table: what its rows are, the head of each column with its limits, and the names of the rows."""

    each: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[str, ...]


NO_DRAWING = Drawn()


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of step on paper; each function gets what the procedure lists, and the step.

    ``answer`` is the line that is filled in at the step (an underscore is a place to write, a box to tick), ``facts``
    are what else must be known of it, and ``drawn`` is what is drawn of its bolts.
    """

    answer: Callable[[Listed, Any], str] = lambda _listed, _step: ""
    facts: Callable[[Listed, Any], Iterator[tuple[str, str]]] = lambda _listed, _step: iter(())
    drawn: Callable[[Listed, Any], Drawn] = lambda _listed, _step: NO_DRAWING
    table: Callable[[Listed, Any], SheetTable | None] = lambda _listed, _step: None
    """A table that is filled in at the step."""


SHEET: Room[SheetKind] = Room("sheet")

KINDS.add(Step, SHEET, SheetKind())


def sheet_part(step: Step) -> SheetKind:
    """Return what the work sheet knows of the kind of ``step``; nothing of its own for one that has no part here."""
    return KINDS.part(step, SHEET)
