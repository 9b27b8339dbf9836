"""From the cells of one row of a tightening table to a :class:`TableRow`, or to what is wrong with them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.authoring.tables.head import PRINTED, Column, Role, TableHead, twins
from assistant.authoring.tables.model import RowSaid, TablePass, TableRow
from assistant.authoring.tables.said import misfits, parse_said
from assistant.authoring.tables.stages import StageLabel, parse_stage
from assistant.authoring.tables.values import (
    NO_VALUE,
    Size,
    TableTarget,
    TableUnit,
    parse_bolt_cell,
    parse_bolt_size,
    parse_length_cell,
    parse_targets,
    parse_unit,
    same_value,
)
from assistant.fastening.quantities import Torque
from assistant.fastening.units import parse_torque_unit
from assistant.faults import Fault
from assistant.procedure.findings import Finding
from assistant.procedure.format.values import MOST_BOLTS


class RowReader:
    """Reads the rows under ``head``; ``unit`` is that of bare torques, when the person named one."""

    def __init__(self, head: TableHead, unit: TableUnit | None) -> None:
        self._head = head
        self._grid = head.grid
        self._unit = unit
        self.doubles = twins(head)
        """Columns that say the same torque in another unit, by the column that is read."""
        doubles = {one.at for others in self.doubles.values() for one in others}
        self.values = [one for one in head.all(Role.VALUE) if one.at not in doubles]
        """The columns of values that are read, from left to right; a Pass counts them."""
        self.wrong: list[Finding] = []
        self.lost: set[int] = set()
        """Rows that are left out."""

    def row(self, row: int) -> TableRow | None:
        """Read one row; None when it is empty, the head again, or not wholly understood."""
        head, cells = self._head, self._grid.rows[row]
        said = {text for text in cells if text}
        broken = sorted(place for place in self._grid.wrong if place[0] == row)
        if not said and not broken:
            return None
        known = {cells[one.at] == one.words for one in head.columns if cells[one.at]}
        if known == {True} and not broken and all(cells[at] in ("", words) for at, words in head.others):
            return None  # the head again
        before = len(self.wrong)
        for place in broken:
            if place[1] in {one.at for one in head.columns}:
                self._complain(row, place[1], self._grid.wrong[place])
        made = self._understood(row, said)
        if len(self.wrong) > before:
            self.lost.add(row)
            return None
        return made

    @property
    def staged(self) -> bool:
        """Whether the rows name their stages."""
        columns = [one for role in (Role.STAGE, Role.PASSES) if (one := self._head.one(role))]
        rows = self._grid.rows[self._head.first :]
        return any(row[column.at] not in NO_VALUE for row in rows for column in columns)

    @property
    def printed(self) -> bool:
        """Whether the rows are the passes of stages, in their order: a column says what only such a table can say."""
        return self.staged and any(column.role in PRINTED for column in self._head.columns)

    def _understood(self, row: int, said: set[str]) -> TableRow | None:
        """Read the cells of one row; what is wrong with it is told."""
        values = self.values
        if len(said) == 1 and not any(_has_digit(self._grid.rows[row][one.at]) for one in values):
            self._complain(
                row, None, Fault(f'it has no values, and says "{said.pop()}"', "add them, or take the row out")
            )
            return None
        size = self._size(row)
        targets = self._targets(row)
        grade = self._text(row, Role.GRADE)
        made = TableRow(
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
            self._said(row),
        )
        for role, why in misfits(made.said, targets, made.bolts):
            self._complain_of(row, role, why)
        if grade and size.grade and grade != size.grade:
            text = f"it names the class {grade} and, with the size, {size.grade}"
            self._complain(row, None, Fault(text, "make them agree"))
        if not made.bolts and not made.count and not self.staged:
            self._complain(row, None, Fault("it says neither which bolts nor how many", "add them"))
        if made.bolts and made.count and len(made.bolts) != made.count:
            text = f"it names {len(made.bolts)} bolts but says that there are {made.count}"
            self._complain(row, None, Fault(text, "make them agree"))
        if not made.targets:
            self._complain(row, None, Fault("it has no value for its bolts", "add one, or take the row out"))
        return made

    def _text(self, row: int, role: Role) -> str:
        column = self._head.one(role)
        text = self._grid.rows[row][column.at] if column else ""
        return "" if text in NO_VALUE else text

    def _said(self, row: int) -> RowSaid:
        """Read what the row says of its pass; all of that needs a stage."""
        said, wrong = parse_said({role: self._text(row, role) for role in PRINTED})
        for role, why in wrong:
            self._complain_of(row, role, why)
        return said

    def _size(self, row: int) -> Size:
        text, column = self._text(row, Role.SIZE), self._head.one(Role.SIZE)
        if not text or column is None:
            if self._text(row, Role.LENGTH):
                self._complain(row, None, Fault("it names a length and no size", "add the size"))
            return Size("")
        size = parse_bolt_size(text)
        if isinstance(size, Fault):
            self._complain(row, column.at, size)
            return Size("")
        return self._long(row, size)

    def _long(self, row: int, size: Size) -> Size:
        """Return ``size`` with what the column of lengths says of it."""
        text, column = self._text(row, Role.LENGTH), self._head.one(Role.LENGTH)
        if not text or column is None:
            return size
        length = parse_length_cell(text)
        if length is None:
            self._complain(row, column.at, Fault(f'"{text}" is no length in millimetres', "write for example 60"))
        elif size.length and Decimal(size.length) != Decimal(length):
            self._complain(
                row, column.at, Fault(f"the size says that they are {size.length} mm long", "make them agree")
            )
        return replace(size, length=length or "")

    def _bolts(self, row: int) -> tuple[int, ...]:
        text, column = self._text(row, Role.BOLTS), self._head.one(Role.BOLTS)
        if not text or column is None:
            return ()
        bolts = parse_bolt_cell(text)
        if isinstance(bolts, Fault):
            self._complain(row, column.at, bolts)
            return ()
        if len(bolts) == 1 and not self._one_each(column):
            hint = f"write for example {text}-{text}, or 1-{text}"
            self._complain(row, column.at, Fault(f'"{text}" may be bolt {text} or {text} bolts', hint))
        return bolts

    def _one_each(self, column: Column) -> bool:
        """Return whether a number alone in this column must be the number of one bolt, and cannot be how many."""
        if not column.words.lower().startswith(("bolts", "screws", "fasteners", "nuts")):
            return True
        cells = [row[column.at] for row in self._grid.rows[self._head.first :] if row[column.at] not in NO_VALUE]
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
            self._complain(
                row, column.at, Fault(f'"{text}" is not a number of bolts', f"write one from 1 to {MOST_BOLTS}")
            )
            return 0
        return int(plain)

    def _targets(self, row: int) -> dict[TablePass, TableTarget]:
        made: dict[TablePass, TableTarget] = {}
        stage = self._stage(row)
        named = self._row_unit(row)
        used = False
        for position, column in enumerate(self.values):
            found = self._cell(row, column, named)
            for part, target in enumerate(found):
                made[TablePass(stage[:2] if stage else (0, 0), position, part)] = target
                used |= named is None or named is _unit(target)
        if made and not used and named is not None:
            units = self._head.one(Role.UNIT)
            text = f"the unit of this row is {named.value}, and no value of it has that unit"
            self._complain(row, units.at if units else 0, Fault(text, "make them agree"))
        return made

    def _cell(self, row: int, column: Column, named: TableUnit | None) -> tuple[TableTarget, ...]:
        """Return the targets of one cell; the same torque in other units, in columns of their own, must agree."""
        targets: tuple[TableTarget, ...] = ()
        for one in (column, *self.doubles.get(column, ())):
            text = self._grid.rows[row][one.at]
            if text in NO_VALUE:
                continue
            found = parse_targets(text, one.unit or named or self._unit)
            if isinstance(found, Fault):
                self._complain(row, one.at, found)
            elif not targets:
                targets = found
            elif not _same(targets, found):
                first, second = (" and ".join(map(str, some)) for some in (targets, found))
                text = f"{second} is not the same torque as {first} in the other column"
                self._complain(row, one.at, Fault(text, "make them agree"))
        return targets

    def _stage(self, row: int) -> StageLabel | None:
        text, column = self._text(row, Role.STAGE), self._head.one(Role.STAGE)
        if column is None or not self.staged:
            return None
        label = parse_stage(text) if text else None
        styles = {one.style for cells in self._grid.rows[self._head.first :] if (one := parse_stage(cells[column.at]))}
        if label is None:
            part = self._text(row, Role.PASSES)
            lacks = f"it names pass {part} and no stage" if part else "it names no stage"
            why = f'"{text}" is not the number of a stage' if text else lacks
            self._once(row, column.at, Fault(why, "write 1, 2, 3, or 2a and 2b"))
        elif "letter" in styles and len(styles) > 1:  # C may be a third stage, or a hundred
            why = f'"{text}" is written in another way than other stages'
            self._once(row, column.at, Fault(why, "write all of them alike"))
        return label

    def _once(self, row: int, column: int, why: Fault) -> None:
        """Complain about a cell that is read twice."""
        before = len(self.wrong)
        self._complain(row, column, why)
        if self.wrong[-1] in self.wrong[:before]:
            self.wrong.pop()

    def _row_unit(self, row: int) -> TableUnit | None:
        text, column = self._text(row, Role.UNIT), self._head.one(Role.UNIT)
        if not text or column is None:
            return None
        unit = parse_unit(text)
        if unit is None:
            why = parse_torque_unit(text)
            hint = "write a unit of torque, or °"
            self._complain(row, column.at, why if isinstance(why, Fault) else Fault(f'"{text}" is no unit here', hint))
        return unit

    def _complain_of(self, row: int, role: Role, why: Fault) -> None:
        column = self._head.one(role)
        self._complain(row, column.at if column else None, why)

    def _complain(self, row: int, column: int | None, why: Fault) -> None:
        words = next((one.words for one in self._head.columns if one.at == column and one.words), "")
        self.wrong.append(self._grid.fault(why.reason, why.advice, row=row, column=column, words=words))


def _unit(target: TableTarget) -> TableUnit:
    return target.unit


def _same(targets: tuple[TableTarget, ...], doubles: tuple[TableTarget, ...]) -> bool:
    """Return whether both cells say the same torques."""
    pairs = zip(targets, doubles, strict=False)
    same = all(isinstance(one, Torque) and isinstance(two, Torque) and same_value(one, two) for one, two in pairs)
    return same and len(targets) == len(doubles)


def _has_digit(text: str) -> bool:
    return any(letter.isdigit() for letter in text)
