"""From the rows of a table to groups of bolts with their targets; a row that is not wholly understood is left out.

Nothing is lost: each cell is in what was understood or in a sentence of ``wrong``, and all of them are in ``notes``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from assistant.bay.desk.grid import letters
from assistant.bay.desk.table_groups import Grouper, Pass, Programme, Row, Turn
from assistant.bay.desk.table_head import Column, Head, Role, twins
from assistant.bay.desk.table_stages import Label, parse_stage
from assistant.bay.desk.table_values import (
    NOTHING,
    Size,
    Target,
    Unit,
    agree,
    parse_bolt_cell,
    parse_length_cell,
    parse_size,
    parse_targets,
    parse_unit,
)
from assistant.fastening.units import Torque, parse_torque_unit
from assistant.procedure.values import MOST_BOLTS, Wrong


def read_programme(head: Head, unit: Unit | None) -> Programme:
    """Make groups of the rows under ``head``; ``unit`` is that of bare torques, when the person named one."""
    return _Reader(head, unit).programme()


class _Reader:
    def __init__(self, head: Head, unit: Unit | None) -> None:
        self._head = head
        self._grid = head.grid
        self._unit = unit
        self._made = Programme(remarks=list(head.grid.remarks))
        self._doubles = twins(head)
        doubles = {one.at for others in self._doubles.values() for one in others}
        self._values = [one for one in head.all(Role.VALUE) if one.at not in doubles]
        self._lost: set[int] = set()
        """Rows that are left out."""

    def programme(self) -> Programme:
        """Read the table. What stands in none of its rows of values is told, and kept for the draft."""
        head, made = self._head, self._made
        self._above()
        rows = [row for at in range(head.first, len(self._grid.rows)) if (row := self._row(at)) is not None]
        rows = self._in_order(rows)
        staged = self._staged
        numbers = head.one(Role.BOLTS)
        grouper = Grouper(
            named=staged or any(one.label for one in head.all(Role.VALUE)),
            ordered=self._placed
            or (numbers is not None and any(word in numbers.words.lower() for word in ("order", "sequence"))),
        )
        made.groups, made.stages = grouper.programme(rows)
        for conflict in sorted(grouper.conflicts, key=lambda one: one.row.at):
            made.wrong.append(f"{conflict.row.place}: {conflict.text}.")
            if conflict.left_out:
                self._lost.add(conflict.row.at)
        if staged and self._lost:
            # Without one of its rows a group would have a programme that lacks a stage, and looks whole.
            made.groups, made.stages = [], []
            made.wrong.append("Each row of this table is one stage, so nothing is drafted while one is missing.")
        new = grouper.number()
        made.stages = [
            [Turn(turn.group, tuple(new.get(bolt, bolt) for bolt in turn.bolts), turn.target) for turn in stage]
            for stage in made.stages
        ]
        made.wrong += [self._whole(row) for row in sorted(self._lost)]
        made.wrong += self._left_columns()
        return made

    def _above(self) -> None:
        """Tell what is no row of values, and note the whole table as it stands."""
        head, grid, made = self._head, self._grid, self._made
        made.notes = [
            f"{grid.line(row)}: {' | '.join(cells)}".rstrip() for row, cells in enumerate(grid.rows) if any(cells)
        ]
        for row in range(head.row):
            said = " | ".join(dict.fromkeys(text for text in grid.rows[row] if text))
            if said:
                made.remarks.append(f"{grid.line(row)} stands above the head and was left out: {said}")
        for at, words in head.others:
            text = f'"{words}"' if words else "without a head"
            made.remarks.append(f"{grid.head(at)}, {text}, was not understood and is left out.")
        for others in self._doubles.values():
            for other in others:
                text = f'"{other.words}", says the same in another unit; it is compared and left out.'
                made.remarks.append(f"{grid.head(other.at)}, {text}")
        for first, second in pairwise(one for one in head.all(Role.VALUE) if one.label):
            if first.label and second.label and first.label[:2] > second.label[:2]:
                text = f'"{second.words}" stands behind "{first.words}": the stages are drafted as they stand'
                made.wrong.append(f"{grid.head(second.at)}: {text}; put the columns in the order of the work.")

    @property
    def _staged(self) -> bool:
        """Whether the rows name their stages."""
        column = self._head.one(Role.STAGE)
        return column is not None and any(row[column.at] not in NOTHING for row in self._grid.rows[self._head.first :])

    @property
    def _placed(self) -> bool:
        """Whether a column has the place of each row in the order of tightening."""
        column = self._head.one(Role.ORDER)
        cells = [row[column.at] for row in self._grid.rows[self._head.first :] if any(row)] if column else []
        return bool(cells) and all(cell.isascii() and cell.isdecimal() for cell in cells)

    def _in_order(self, rows: list[Row]) -> list[Row]:
        """Put the rows in the order that the table itself gives them, if it does."""
        if not self._placed:
            return rows
        places = [int(row.order) for row in rows]
        names = list(dict.fromkeys((row.name, row.size) for row in rows))
        if len(set(places)) == len(places):
            ordered = sorted(rows, key=lambda row: int(row.order))
        else:  # each group has places of its own
            ordered = sorted(rows, key=lambda row: (names.index((row.name, row.size)), int(row.order)))
        if ordered != rows:
            self._made.remarks.append("The rows were put in the order that the table gives them.")
        return ordered

    def _whole(self, row: int) -> str:
        """Return all that stands in a row that is left out, so that nothing of it is lost."""
        words = {one.at: one.words for one in self._head.columns} | dict(self._head.others)
        cells = [f"{words.get(at) or letters(at)}: {text}" for at, text in enumerate(self._grid.rows[row]) if text]
        return f"{self._grid.line(row)} says: {' | '.join(cells) or 'nothing that can be read'}."

    def _left_columns(self) -> Iterator[str]:
        """Yield what stands in the columns that were not understood, beside rows that were."""
        grid, head = self._grid, self._head
        others = dict(head.others)
        order = head.one(Role.ORDER)
        if order is not None and not self._placed:
            others[order.at] = order.words
        for at, words in sorted(others.items()):
            cells = [
                (row, grid.rows[row][at] or f"({grid.wrong[row, at]})")
                for row in range(head.first, len(grid.rows))
                if row not in self._lost and (grid.rows[row][at] not in NOTHING or (row, at) in grid.wrong)
            ]
            text = "; ".join(f"{grid.line(row)}: {cell}" for row, cell in cells)
            counted = [cell.rstrip(".") for _, cell in cells] == [str(number + 1) for number in range(len(cells))]
            if cells and not (at in head.counters and counted):
                shown = f'"{words}"' if words else "without a head"
                yield f"{grid.head(at)}, {shown}: {text}."
        for (row, at), why in sorted(grid.wrong.items()):
            if row >= head.first and at >= grid.width:
                yield f"{grid.place(row, at)}: {why}."

    def _complain(self, row: int, column: int, why: str) -> None:
        words = next((f' ("{one.words}")' for one in self._head.columns if one.at == column and one.words), "")
        self._made.wrong.append(f"{self._grid.place(row, column)}{words}: {why.rstrip('.')}.")

    def _row(self, row: int) -> Row | None:
        """Read one row; None when it is empty, the head again, or not wholly understood."""
        head, cells = self._head, self._grid.rows[row]
        said = {text for text in cells if text}
        broken = sorted(place for place in self._grid.wrong if place[0] == row)
        if not said and not broken:
            return None
        known = {cells[one.at] == one.words for one in head.columns if cells[one.at]}
        if known == {True} and not broken and all(cells[at] in ("", words) for at, words in head.others):
            return None  # the head again
        before = len(self._made.wrong)
        for place in broken:
            if place[1] in {one.at for one in head.columns}:
                self._complain(row, place[1], f"{self._grid.wrong[place]}.")
        made = self._understood(row, said)
        if len(self._made.wrong) > before:
            self._lost.add(row)
            return None
        return made

    def _understood(self, row: int, said: set[str]) -> Row | None:
        """Read the cells of one row; what is wrong with it is told."""
        values = self._values
        if len(said) == 1 and not any(_has_digit(self._grid.rows[row][one.at]) for one in values):
            self._made.wrong.append(f"{self._grid.line(row)}: it has no values: {said.pop()}.")
            return None
        size = self._size(row)
        targets = self._targets(row)
        grade = self._text(row, Role.GRADE)
        made = Row(
            row,
            self._grid.line(row),
            self._text(row, Role.GROUP),
            self._text(row, Role.WHERE),
            size,
            grade or size.grade,
            self._bolts(row),
            self._count(row),
            self._text(row, Role.ORDER),
            self._stage(row),
            targets,
        )
        wrong = self._made.wrong
        if grade and size.grade and grade != size.grade:
            wrong.append(f"{made.place}: it names the class {grade} and, with the size, {size.grade}: make them agree.")
        if not made.bolts and not made.count and not self._staged:
            wrong.append(f"{made.place}: it says neither which bolts nor how many: add them.")
        if made.bolts and made.count and len(made.bolts) != made.count:
            text = f"it names {len(made.bolts)} bolts but says that there are {made.count}: make them agree."
            wrong.append(f"{made.place}: {text}")
        if not made.targets:
            wrong.append(f"{made.place}: it has no value for its bolts: add one, or take the row out.")
        return made

    def _text(self, row: int, role: Role) -> str:
        column = self._head.one(role)
        text = self._grid.rows[row][column.at] if column else ""
        return "" if text in NOTHING else text

    def _size(self, row: int) -> Size:
        text, column = self._text(row, Role.SIZE), self._head.one(Role.SIZE)
        if not text or column is None:
            if self._text(row, Role.LENGTH):
                self._made.wrong.append(f"{self._grid.line(row)}: it names a length and no size: add the size.")
            return Size("")
        size = parse_size(text)
        if isinstance(size, Wrong):
            self._complain(row, column.at, size.text)
            return Size("")
        return self._long(row, size)

    def _long(self, row: int, size: Size) -> Size:
        """Return ``size`` with what the column of lengths says of it."""
        text, column = self._text(row, Role.LENGTH), self._head.one(Role.LENGTH)
        if not text or column is None:
            return size
        length = parse_length_cell(text)
        if length is None:
            self._complain(row, column.at, f'"{text}" is no length in millimetres')
        elif size.length and Decimal(size.length) != Decimal(length):
            self._complain(row, column.at, f"the size says that they are {size.length} mm long: make them agree")
        return replace(size, length=length or "")

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

    def _targets(self, row: int) -> dict[Pass, Target]:
        made: dict[Pass, Target] = {}
        stage = self._stage(row)
        named = self._row_unit(row)
        used = False
        for position, column in enumerate(self._values):
            found = self._cell(row, column, named)
            for part, target in enumerate(found):
                made[Pass(stage[:2] if stage else (0, 0), position, part)] = target
                used |= named is None or named is _unit(target)
        if made and not used and named is not None:
            units = self._head.one(Role.UNIT)
            text = f"the unit of this row is {named.value}, and no value of it has that unit: make them agree"
            self._complain(row, units.at if units else 0, text)
        return made

    def _cell(self, row: int, column: Column, named: Unit | None) -> tuple[Target, ...]:
        """Return the targets of one cell; the same torque in other units, in columns of their own, must agree."""
        targets: tuple[Target, ...] = ()
        for one in (column, *self._doubles.get(column, ())):
            text = self._grid.rows[row][one.at]
            if text in NOTHING:
                continue
            found = parse_targets(text, one.unit or named or self._unit)
            if isinstance(found, Wrong):
                self._complain(row, one.at, found.text)
            elif not targets:
                targets = found
            elif not _same(targets, found):
                first, second = (" and ".join(map(str, some)) for some in (targets, found))
                self._complain(row, one.at, f"{second} is not the same torque as {first} in the other column")
        return targets

    def _stage(self, row: int) -> Label | None:
        text, column = self._text(row, Role.STAGE), self._head.one(Role.STAGE)
        if column is None or not self._staged:
            return None
        label = parse_stage(text) if text else None
        styles = {one.style for cells in self._grid.rows[self._head.first :] if (one := parse_stage(cells[column.at]))}
        if label is None:
            why = f'"{text}" is not the number of a stage: write 1, 2, 3, or 2a and 2b' if text else "it names no stage"
            self._once(row, column.at, why)
        elif len(styles) > 1:
            self._once(row, column.at, f'"{text}" is written in another way than other stages: write all of them alike')
        return label

    def _once(self, row: int, column: int, why: str) -> None:
        """Complain about a cell that is read twice."""
        before = len(self._made.wrong)
        self._complain(row, column, why)
        if self._made.wrong[-1] in self._made.wrong[:before]:
            self._made.wrong.pop()

    def _row_unit(self, row: int) -> Unit | None:
        text, column = self._text(row, Role.UNIT), self._head.one(Role.UNIT)
        if not text or column is None:
            return None
        unit = parse_unit(text)
        if unit is None:
            why = parse_torque_unit(text)
            self._complain(row, column.at, getattr(why, "sentence", f'"{text}" is not a unit of torque or angle'))
        return unit


def _unit(target: Target) -> Unit:
    return target.unit


def _same(targets: tuple[Target, ...], doubles: tuple[Target, ...]) -> bool:
    """Return whether both cells say the same torques."""
    pairs = zip(targets, doubles, strict=False)
    same = all(isinstance(one, Torque) and isinstance(two, Torque) and agree(one, two) for one, two in pairs)
    return same and len(targets) == len(doubles)


def _has_digit(text: str) -> bool:
    return any(letter.isdigit() for letter in text)
