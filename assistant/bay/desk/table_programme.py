"""From the rows of a table to groups of bolts with their targets; a row that is not wholly understood is left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from assistant.bay.desk.table_head import Column, Head, Role
from assistant.bay.desk.table_values import (
    NOTHING,
    Size,
    Target,
    Unit,
    parse_bolt_cell,
    parse_size,
    parse_targets,
    parse_unit,
)
from assistant.fastening.units import Angle, parse_torque_unit
from assistant.procedure.values import MOST_BOLTS, Wrong


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
class _Row:
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


def read_programme(head: Head, unit: Unit | None) -> Programme:
    """Make groups of the rows under ``head``; ``unit`` is that of bare torques, when the person named one."""
    return _Reader(head, unit).programme()


class _Reader:
    def __init__(self, head: Head, unit: Unit | None) -> None:
        self._head = head
        self._grid = head.grid
        self._unit = unit
        self._made = Programme(remarks=list(head.grid.remarks))

    def programme(self) -> Programme:
        head, grid = self._head, self._grid
        for row in range(head.row):
            said = " | ".join(dict.fromkeys(text for text in grid.rows[row] if text))
            if said:
                self._made.remarks.append(f"{grid.line(row)} stands above the head and was left out: {said}")
        for at, words in head.others:
            shown = f'"{words}"' if words else "without a head"
            self._made.remarks.append(f"{grid.head(at)}, {shown}, was not understood and is left out.")
        for (row, column), why in sorted(grid.wrong.items()):
            if row >= head.first and column in {one.at for one in head.columns}:
                self._complain(row, column, f"{why}.")
        rows = [made for row in range(head.first, len(grid.rows)) if (made := self._row(row)) is not None]
        self._group(rows)
        self._number()
        return self._made

    def _complain(self, row: int, column: int, why: str) -> None:
        words = next((f' ("{one.words}")' for one in self._head.columns if one.at == column and one.words), "")
        self._made.wrong.append(f"{self._grid.place(row, column)}{words}: {why.rstrip('.')}.")

    def _row(self, row: int) -> _Row | None:
        """Read one row; None when it is empty, no row of values, or not wholly understood."""
        head, cells = self._head, self._grid.rows[row]
        said = {text for text in cells if text}
        if not said and not any(place[0] == row for place in self._grid.wrong):
            return None
        if all(cells[one.at] == one.words or not cells[one.at] for one in head.columns) and said:
            return None  # the head again
        values = head.all(Role.VALUE)
        if len(said) == 1 and not any(cells[one.at] not in NOTHING and _has_digit(cells[one.at]) for one in values):
            self._made.remarks.append(f"{self._grid.line(row)} has no values and was left out: {said.pop()}")
            return None
        before = len(self._made.wrong)
        broken = any(place[0] == row and place[1] in {one.at for one in head.columns} for place in self._grid.wrong)
        made = _Row(
            self._grid.line(row),
            self._text(row, Role.GROUP),
            self._text(row, Role.WHERE),
            self._size(row),
            self._text(row, Role.GRADE),
            self._bolts(row),
            self._count(row),
            self._text(row, Role.ORDER),
            self._text(row, Role.STAGE),
            self._targets(row, values),
        )
        if broken or len(self._made.wrong) > before:
            return None
        if not made.bolts and not made.count and not self._head.one(Role.STAGE):
            self._made.wrong.append(f"{made.place}: it says neither which bolts nor how many: add them.")
            return None
        if made.bolts and made.count and len(made.bolts) != made.count:
            text = f"it names {len(made.bolts)} bolts but says that there are {made.count}: make them agree."
            self._made.wrong.append(f"{made.place}: {text}")
            return None
        if not made.targets:
            self._made.wrong.append(f"{made.place}: it has no value for its bolts: add one, or take the row out.")
            return None
        return made

    def _text(self, row: int, role: Role) -> str:
        column = self._head.one(role)
        text = self._grid.rows[row][column.at] if column else ""
        return "" if text in NOTHING else text

    def _size(self, row: int) -> Size:
        text, column = self._text(row, Role.SIZE), self._head.one(Role.SIZE)
        if not text or column is None:
            return Size("")
        size = parse_size(text, self._text(row, Role.LENGTH))
        if isinstance(size, Wrong):
            self._complain(row, column.at, size.text)
            return Size("")
        return size

    def _bolts(self, row: int) -> tuple[int, ...]:
        text, column = self._text(row, Role.BOLTS), self._head.one(Role.BOLTS)
        if not text or column is None:
            return ()
        bolts = parse_bolt_cell(text)
        if isinstance(bolts, Wrong):
            self._complain(row, column.at, bolts.text)
            return ()
        if len(bolts) == 1 and not self._one_each(column):
            several = f'"{text}" may be bolt {text} or {text} bolts: write for example {text}-{text}, or 1-{text}'
            self._complain(row, column.at, several)
        return bolts

    def _one_each(self, column: Column) -> bool:
        """Return whether a number alone in this column must be the number of one bolt, and cannot be how many."""
        if not column.words.lower().startswith(("bolts", "screws", "fasteners", "nuts")):
            return True
        cells = [row[column.at] for row in self._grid.rows[self._head.first :] if row[column.at] not in NOTHING]
        if not all(text.isdecimal() for text in cells):
            return True  # beside ranges and lists, a number alone is a number of a bolt too
        numbers = sorted({int(text) for text in cells})
        return len(numbers) > 1 and numbers == list(range(1, len(numbers) + 1))

    def _count(self, row: int) -> int:
        text, column = self._text(row, Role.COUNT), self._head.one(Role.COUNT)
        if not text or column is None:
            return 0
        plain = text.lower().removesuffix("off").removesuffix("x").removesuffix("pcs").strip()
        if not (plain.isascii() and plain.isdecimal() and 1 <= int(plain) <= MOST_BOLTS):
            self._complain(row, column.at, f'"{text}" is not a number of bolts from 1 to {MOST_BOLTS}')
            return 0
        return int(plain)

    def _targets(self, row: int, values: list[Column]) -> dict[Pass, Target]:
        made: dict[Pass, Target] = {}
        stage = self._stage(row)
        named = self._row_unit(row)
        for position, column in enumerate(values):
            text = self._grid.rows[row][column.at]
            if text in NOTHING:
                continue
            targets = parse_targets(text, column.unit or named or self._unit)
            if isinstance(targets, Wrong):
                self._complain(row, column.at, targets.text)
                continue
            for part, target in enumerate(targets):
                made[Pass(stage if stage else position, part, isinstance(target, Angle))] = target
        return made

    def _stage(self, row: int) -> int:
        text, column = self._text(row, Role.STAGE), self._head.one(Role.STAGE)
        digits = "".join(letter for letter in text if letter.isdecimal())
        if column is None or not text:
            return 0
        if not digits or len(digits) > 2 or not int(digits):
            self._complain(row, column.at, f'"{text}" is not the number of a stage: write 1, 2, 3')
            return 0
        return int(digits)

    def _row_unit(self, row: int) -> Unit | None:
        text, column = self._text(row, Role.UNIT), self._head.one(Role.UNIT)
        if not text or column is None:
            return None
        unit = parse_unit(text)
        if unit is None:
            why = parse_torque_unit(text)
            self._complain(row, column.at, getattr(why, "sentence", f'"{text}" is not a unit of torque or angle'))
        return unit

    def _group(self, rows: list[_Row]) -> None:
        """Put rows together that say the same of different bolts, or that are stages of the same bolts."""
        groups: dict[tuple[object, ...], Bolts] = {}
        staged = self._head.one(Role.STAGE) is not None
        if self._head.one(Role.ORDER) and all(row.order.isdecimal() for row in rows):
            rows = sorted(rows, key=lambda row: int(row.order))
        last: _Row | None = None
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
                ordered = bool(self._head.one(Role.ORDER)) or row.bolts != tuple(sorted(row.bolts))
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

    def _add_stage(self, group: Bolts, row: _Row) -> None:
        twice = group.targets.keys() & row.targets.keys()
        if twice:
            number = min(twice).stage
            self._made.wrong.append(
                f"{row.place}: stage {number} of these bolts stands in an earlier row too: keep one."
            )
            return
        group.targets |= row.targets
        group.ordered = group.ordered or row.bolts != tuple(sorted(row.bolts))

    def _number(self) -> None:
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


def _has_digit(text: str) -> bool:
    return any(letter.isdigit() for letter in text)


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
