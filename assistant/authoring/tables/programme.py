"""From a tightening table to its programme; a row that is not wholly understood is left out, and told with its cells.

Nothing is lost: each cell is in what was understood or in a complaint of ``wrong``, and all of them are in ``notes``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from assistant.authoring.grids.grid import letters
from assistant.authoring.tables.groups import Conflict, Grouper
from assistant.authoring.tables.head import Role, TableHead
from assistant.authoring.tables.model import TableContent, TableRow
from assistant.authoring.tables.rows import RowReader
from assistant.authoring.tables.values import NO_VALUE, TableUnit
from assistant.procedure.findings import Finding


def read_programme(head: TableHead, unit: TableUnit | None) -> TableContent:
    """Make groups of the rows under ``head``; ``unit`` is that of bare torques, when the person named one."""
    return _Reader(head, unit).programme()


class _Reader:
    def __init__(self, head: TableHead, unit: TableUnit | None) -> None:
        self._head = head
        self._grid = head.grid
        self._made = TableContent(remarks=list(head.grid.remarks))
        self._rows = RowReader(head, unit)

    def programme(self) -> TableContent:
        """Read the table. What stands in none of its rows of values is told, and kept for the draft."""
        head, made = self._head, self._made
        self._above()
        rows = [row for at in range(head.first, len(self._grid.rows)) if (row := self._rows.row(at)) is not None]
        made.wrong += self._rows.wrong
        made.wrong += self._same_stage(rows)
        rows = self._in_order(rows)
        staged, printed, lost = self._rows.staged, self._rows.printed, self._rows.lost
        broken = bool(lost)
        numbers = head.one(Role.BOLTS)
        grouper = Grouper(
            named=staged or any(one.label for one in head.all(Role.VALUE)),
            ordered=self._placed
            or (numbers is not None and any(word in numbers.words.lower() for word in ("order", "sequence"))),
            printed=printed,
            stages=[one.label.name if one.label else "" for one in self._rows.values],
        )
        made.groups, made.passes = grouper.programme(rows)
        stages = [row.stage[:2] for row in rows if row.stage]
        if not printed and stages != sorted(stages):
            made.remarks.append("The rows were put in the order of their stages.")
        for conflict in sorted(grouper.conflicts, key=lambda one: one.row.at):
            if printed and broken:
                continue  # rows that are missing already make others look out of place
            made.wrong.append(self._at(conflict))
            if conflict.left_out:
                lost.add(conflict.row.at)
        if staged and lost:
            # Without one of its rows a group would have a programme that lacks a stage, and looks whole.
            made.groups, made.passes = [], []
            reason = "Each row of this table belongs to a stage, so nothing is drafted while one is missing"
            made.wrong.append(self._grid.fault(reason, "mend the rows that are named"))
        new = grouper.number()
        for one in made.passes:
            one.turns = [replace(turn, bolts=tuple(new.get(bolt, bolt) for bolt in turn.bolts)) for turn in one.turns]
        made.wrong += [self._whole(row) for row in sorted(lost)]
        made.wrong += self._left_columns()
        return made

    def _at(self, conflict: Conflict) -> Finding:
        """Return a conflict with its row, and with its column where that is known."""
        fault, row = conflict.fault, conflict.row.at
        column = self._head.one(conflict.role) if conflict.role else None
        if column is None:
            return self._grid.fault(fault.reason, fault.advice, row=row)
        return self._grid.fault(fault.reason, fault.advice, row=row, column=column.at, words=column.words)

    def _above(self) -> None:
        """Tell what is no row of values, and note the whole table as it stands."""
        head, grid, made = self._head, self._grid, self._made
        made.notes = [
            f"{grid.line(row)}: {' | '.join(cells)}".rstrip() for row, cells in enumerate(grid.rows) if any(cells)
        ]
        for row in range(head.row):
            said = " | ".join(dict.fromkeys(text for text in grid.rows[row] if text))
            if said:
                made.remarks.append(f"{grid.line(row)} stands above the head, and is no part of the table: {said}")
        for at, words in head.others:
            text = f'"{words}"' if words else "without a head"
            made.remarks.append(f"{grid.head(at)}, {text}, was not understood.")
        for others in self._rows.doubles.values():
            for other in others:
                text = f'"{other.words}", says the same in another unit; it is compared, and is no other stage.'
                made.remarks.append(f"{grid.head(other.at)}, {text}")
        for first, second in pairwise(one for one in head.all(Role.VALUE) if one.label):
            if first.label and second.label and first.label[:2] > second.label[:2]:
                text = f'"{second.words}" stands behind "{first.words}", and the stages are drafted as they stand'
                made.wrong.append(grid.fault(text, "put the columns in the order of the work", column=second.at))

    def _same_stage(self, rows: list[TableRow]) -> Iterator[Finding]:
        """Yield the columns that name the stage of the one before them, and have values of its kind."""
        kinds = [{place.column: type(target) for place, target in row.targets.items()} for row in rows]
        for at, (first, second) in enumerate(pairwise(self._rows.values)):
            if not first.label or not second.label or first.label[:2] != second.label[:2]:
                continue
            if any(at in kind and kind[at] is kind.get(at + 1) for kind in kinds):
                text = f'"{second.words}" names the same stage as the column before it, and it is drafted as one more'
                hint = "name each stage once, or take the wrong column out"
                yield self._grid.fault(text, hint, column=second.at)

    @property
    def _placed(self) -> bool:
        """Whether a column has the place of each row in the order of tightening."""
        column = self._head.one(Role.ORDER)
        cells = [row[column.at] for row in self._grid.rows[self._head.first :] if any(row)] if column else []
        return bool(cells) and all(cell.isascii() and cell.isdecimal() for cell in cells)

    def _in_order(self, rows: list[TableRow]) -> list[TableRow]:
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

    def _whole(self, row: int) -> Finding:
        """Return all that stands in a row that is left out, so that nothing of it is lost."""
        words = {one.at: one.words for one in self._head.columns} | dict(self._head.others)
        cells = [f"{words.get(at) or letters(at)}: {text}" for at, text in enumerate(self._grid.rows[row]) if text]
        said = " | ".join(cells) or "nothing that can be read"
        reason = f"nothing was made of what it says ({said})"
        return self._grid.fault(reason, "write it into the draft, or mend the row", row=row)

    def _left_columns(self) -> Iterator[Finding]:
        """Yield what stands in the columns that were not understood, beside rows that were."""
        grid, head = self._grid, self._head
        others = dict(head.others)
        order = head.one(Role.ORDER)
        if order is not None and not self._placed:
            others[order.at] = order.words
        for at, words in sorted(others.items()):
            cells = [
                (row, grid.rows[row][at] or f"({grid.wrong[row, at].sentence})")
                for row in range(head.first, len(grid.rows))
                if row not in self._rows.lost and (grid.rows[row][at] not in NO_VALUE or (row, at) in grid.wrong)
            ]
            text = "; ".join(f"{grid.line(row)}: {cell}" for row, cell in cells)
            counted = [cell.rstrip(".") for _, cell in cells] == [str(number + 1) for number in range(len(cells))]
            if cells and not (at in head.counters and counted):
                reason = f"nothing was made of what it says ({text})"
                yield grid.fault(reason, "write it into the draft where it matters", column=at, words=words)
        for (row, at), why in sorted(grid.wrong.items()):
            if row < head.first or row >= len(grid.rows) or at >= grid.width:
                yield grid.fault(why.reason, why.advice, row=row, column=at)
