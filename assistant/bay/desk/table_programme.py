"""From the rows of a table to groups of bolts with their targets; a row that is not wholly understood is left out."""

from __future__ import annotations

from assistant.bay.desk.table_groups import Grouper, Pass, Programme, Row
from assistant.bay.desk.table_head import Column, Head, Role, twins
from assistant.bay.desk.table_values import (
    NOTHING,
    Size,
    Target,
    Unit,
    agree,
    parse_bolt_cell,
    parse_size,
    parse_targets,
    parse_unit,
)
from assistant.fastening.units import Angle, Torque, parse_torque_unit
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
        self._doubles = dict(twins(head))

    def programme(self) -> Programme:
        head, grid = self._head, self._grid
        for row in range(head.row):
            said = " | ".join(dict.fromkeys(text for text in grid.rows[row] if text))
            if said:
                self._made.remarks.append(f"{grid.line(row)} stands above the head and was left out: {said}")
        for at, words in head.others:
            shown = f'"{words}"' if words else "without a head"
            self._made.remarks.append(f"{grid.head(at)}, {shown}, was not understood and is left out.")
        for one, other in self._doubles.items():
            text = f'"{other.words}", says the same as "{one.words}" in another unit; it is compared and left out.'
            self._made.remarks.append(f"{grid.head(other.at)}, {text}")
        for (row, column), why in sorted(grid.wrong.items()):
            if row >= head.first and column in {one.at for one in head.columns}:
                self._complain(row, column, f"{why}.")
        rows = [made for row in range(head.first, len(grid.rows)) if (made := self._row(row)) is not None]
        numbers = head.one(Role.BOLTS)
        grouper = Grouper(
            self._made,
            staged=head.one(Role.STAGE) is not None,
            placed=head.one(Role.ORDER) is not None,
            ordered=numbers is not None and any(word in numbers.words.lower() for word in ("order", "sequence")),
        )
        grouper.group(rows)
        for group in self._made.groups:
            if not group.bolts:  # a row of one stage may leave them to another row, but none of these names any
                self._made.wrong.append(f"{group.rows[0]}: it says neither which bolts nor how many: add them.")
        grouper.number()
        if head.one(Role.STAGE) and self._made.wrong:
            # Without one of its rows a group would have a programme that lacks a stage, and looks whole.
            self._made.groups = []
            self._made.wrong.append("Each row of this table is one stage, so nothing is drafted while one is missing.")
        return self._made

    def _complain(self, row: int, column: int, why: str) -> None:
        words = next((f' ("{one.words}")' for one in self._head.columns if one.at == column and one.words), "")
        self._made.wrong.append(f"{self._grid.place(row, column)}{words}: {why.rstrip('.')}.")

    def _row(self, row: int) -> Row | None:
        """Read one row; None when it is empty, no row of values, or not wholly understood."""
        head, cells = self._head, self._grid.rows[row]
        said = {text for text in cells if text}
        if not said and not any(place[0] == row for place in self._grid.wrong):
            return None
        if all(cells[one.at] == one.words or not cells[one.at] for one in head.columns) and said:
            return None  # the head again
        values = [one for one in head.all(Role.VALUE) if one not in self._doubles.values()]
        if len(said) == 1 and not any(cells[one.at] not in NOTHING and _has_digit(cells[one.at]) for one in values):
            self._made.remarks.append(f"{self._grid.line(row)} has no values and was left out: {said.pop()}")
            return None
        before = len(self._made.wrong)
        broken = any(place[0] == row and place[1] in {one.at for one in head.columns} for place in self._grid.wrong)
        size = self._size(row)
        made = Row(
            self._grid.line(row),
            self._text(row, Role.GROUP),
            self._text(row, Role.WHERE),
            size,
            self._text(row, Role.GRADE) or size.grade,
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
            if not self._agrees(row, column, targets):
                continue
            for part, target in enumerate(targets):
                made[Pass(stage if stage else position, part, isinstance(target, Angle))] = target
        return made

    def _agrees(self, row: int, column: Column, targets: tuple[Target, ...]) -> bool:
        """Return whether the same torque in another unit, in a column of its own, is the same."""
        other = self._doubles.get(column)
        text = self._grid.rows[row][other.at] if other else ""
        if other is None or text in NOTHING:
            return True
        doubles = parse_targets(text, other.unit)
        if isinstance(doubles, Wrong):
            self._complain(row, other.at, doubles.text)
            return False
        pairs = [(one, two) for one, two in zip(targets, doubles, strict=False)]
        same = all(isinstance(one, Torque) and isinstance(two, Torque) and agree(one, two) for one, two in pairs)
        if not same or len(targets) != len(doubles):
            first = " and ".join(map(str, targets))
            second = " and ".join(map(str, doubles))
            self._complain(row, other.at, f"{second} is not the same torque as {first} in the other column")
            return False
        return True

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


def _has_digit(text: str) -> bool:
    return any(letter.isdigit() for letter in text)
