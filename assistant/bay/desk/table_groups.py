"""Rows that belong together become groups of bolts: bolts with the same values, or the stages of the same bolts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from assistant.bay.desk.table_values import Size, Target


class Pass(NamedTuple):
    """When a target is reached: by the columns, or the stages, of the table; torque comes before angle."""

    stage: int
    part: int
    angle: bool


@dataclass(slots=True)
class Bolts:
    """A group of the table: its name, size, bolts in their order, and its targets by their passes."""

    name: str
    size: Size
    bolts: tuple[int, ...]
    targets: dict[Pass, Target]
    where: str = ""
    grade: str = ""
    rows: list[str] = field(default_factory=list)
    decide: list[str] = field(default_factory=list)
    ordered: bool = False
    """Whether the table itself names the order of tightening."""


@dataclass(slots=True)
class Programme:
    """What was understood of a table, and what was not."""

    groups: list[Bolts] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    """What was not understood, with its row and column."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table that was wholly understood; what it does not say is empty."""

    place: str
    name: str
    where: str
    size: Size
    grade: str
    bolts: tuple[int, ...]
    count: int
    order: str
    stage: str
    targets: dict[Pass, Target]


class Grouper:
    """Puts rows together into the groups of ``programme``.

    ``staged`` says that each row is one stage, ``placed`` that a column has the place of each row in the order of
    tightening, ``ordered`` that the bolts of a cell stand in that order.
    """

    def __init__(self, programme: Programme, *, staged: bool, placed: bool, ordered: bool) -> None:
        self._made = programme
        self._staged = staged
        self._placed = placed
        self._ordered = ordered

    def group(self, rows: list[Row]) -> None:
        """Put rows together that say the same of different bolts, or that are stages of the same bolts."""
        groups: dict[tuple[object, ...], Bolts] = {}
        staged = self._staged
        if self._placed and all(row.order.isdecimal() for row in rows):
            self._ordered = True
            rows = sorted(rows, key=lambda row: int(row.order))
        last: Row | None = None
        for one in rows:
            if staged and last and not (one.name or one.bolts or one.count):
                size = one.size if one.size.words else last.size
                row = replace(last, place=one.place, size=size, stage=one.stage, targets=one.targets)
            else:
                row = one
            last = row
            what = frozenset(row.bolts) if staged else tuple(sorted(row.targets.items()))
            key = (row.name, row.size, row.where, row.grade, what, None if row.bolts else row.count)
            group = groups.get(key)
            if group is None:
                ordered = self._ordered or row.bolts != tuple(sorted(row.bolts))
                group = Bolts(row.name, row.size, row.bolts, dict(row.targets), row.where, row.grade, ordered=ordered)
                group.bolts = row.bolts or tuple(range(-row.count, 0))
                groups[key] = group
            elif staged:
                self._add_stage(group, row)
            elif set(group.bolts) & set(row.bolts):
                self._made.wrong.append(f"{row.place}: bolt {row.bolts[0]} stands in an earlier row too: keep one.")
            else:
                group.bolts += row.bolts or tuple(range(-row.count, 0))
                group.ordered = group.ordered or group.bolts != tuple(sorted(group.bolts))
            group.rows.append(row.place)
        self._made.groups = list(groups.values())

    def _add_stage(self, group: Bolts, row: Row) -> None:
        twice = group.targets.keys() & row.targets.keys()
        if twice:
            number = min(twice).stage
            self._made.wrong.append(
                f"{row.place}: stage {number} of these bolts stands in an earlier row too: keep one."
            )
            return
        group.targets |= row.targets
        group.ordered = group.ordered or row.bolts != tuple(sorted(row.bolts))

    def number(self) -> None:
        """Give numbers to bolts that the table only counts, and note what a person must decide."""
        taken = {bolt for group in self._made.groups for bolt in group.bolts if bolt > 0}
        following = max(taken, default=0) + 1
        for group in self._made.groups:
            if min(group.bolts, default=0) < 0:
                group.bolts = tuple(range(following, following + len(group.bolts)))
                following += len(group.bolts)
                group.decide.append("the table counts these bolts and does not number them: check them on the bolt map")
            if not group.ordered and len(group.bolts) > 1:
                group.decide.append("the table names no order of tightening: put the bolts of each run in their order")
            if not group.size.words:
                group.decide.append("the table names no size: write it in words, as it is spoken")


def clashes(groups: list[Bolts]) -> Iterator[list[Bolts]]:
    """Part ``groups`` so that no bolt number stands twice in one part; one joint is numbered right through."""
    parts: list[list[Bolts]] = []
    for group in groups:
        part = next((one for one in parts if not any(set(group.bolts) & set(other.bolts) for other in one)), None)
        if part is None:
            parts.append([group])
        else:
            part.append(group)
    yield from parts
