"""Rows of a table become groups of bolts, and actions on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from assistant.authoring.tables.head import Role
from assistant.authoring.tables.model import PassRead, TableAction, TableBolts, TablePass, TableRow, Turn
from assistant.authoring.tables.order import behind_in_pass, in_stages
from assistant.authoring.tables.passes import falling, in_passes
from assistant.faults import Fault
from assistant.procedure.format.values import MOST_BOLTS


class Conflict(NamedTuple):
    """Why a row does not fit to those above it, or only perhaps; with ``left_out`` its values are not drafted.

    ``role`` is that of the column which says so, where it is one.
    """

    row: TableRow
    fault: Fault
    left_out: bool = True
    role: Role | None = None


_Pieces = list[tuple[TableBolts, tuple[int, ...]]]
"""Bolts by their groups, in the order in which a row names them."""


class Grouper:
    """Puts rows together into groups and actions.

    ``named`` says that the rows, or the columns, name their stages; ``ordered`` that the bolts of a cell stand in the
    order of tightening; ``printed`` that the rows are the passes of stages, in their order. ``stages`` are the names of
    the stages that the columns of values have, from left to right.
    """

    def __init__(self, *, named: bool, ordered: bool, printed: bool = False, stages: Sequence[str] = ()) -> None:
        self._printed = printed
        self._stage_names = stages
        self._named = named
        self._ordered = ordered
        self._groups: list[TableBolts] = []
        self._counted: dict[tuple[object, ...], _Pieces] = {}
        self._by_name: dict[str, _Pieces] = {}
        self._last: _Pieces | None = None
        self._next = -1
        self._done: dict[tuple[int, int], dict[TablePass, TableRow]] = {}
        """What was read for each bolt, by its group and number."""
        self.conflicts: list[Conflict] = []

    def programme(self, rows: Sequence[TableRow]) -> tuple[list[TableBolts], list[PassRead]]:
        """Return the groups and the passes of ``rows``, which stand in the order of the table."""
        actions: list[TableAction] = []
        for one in rows:
            row, why = self._fitting(one)
            if why is not None:
                self.conflicts.append(Conflict(one, why))
                continue
            pieces = self._pieces(row)
            for group, bolts in pieces:
                for bolt in bolts:
                    self._done.setdefault((id(group), bolt), {}).update(dict.fromkeys(row.targets, row))
                if row.place not in group.rows:
                    group.rows.append(row.place)
            for place, target in row.targets.items():
                name = row.stage.name if row.stage else self._stage_names[place.column]
                actions += [TableAction(place, row, Turn(group, bolts, target), name) for group, bolts in pieces]
        self._shared_numbers(rows)
        if not self._printed:
            return self._groups, self._stages(actions)
        passes, clashes = in_passes(actions)
        self.conflicts += [Conflict(row, fault, role=role) for row, role, fault in clashes]
        self.conflicts += [Conflict(row, fault, left_out=False, role=role) for row, role, fault in falling(rows)]
        return self._groups, passes

    def _fitting(self, row: TableRow) -> tuple[TableRow, Fault | None]:
        """Return the row with its passes behind those of earlier rows, and why it does not fit to them."""
        if row.bolts:
            owners = {bolt: self._owner(row, bolt) for bolt in row.bolts}
            bolts = [(id(owner), bolt) for bolt, owner in owners.items() if owner]
        else:
            earlier = self._earlier(row)
            if earlier is None and not row.count:
                return row, Fault("it says neither which bolts nor how many", "add them")
            if not all(_fits(group, row) for group, _ in earlier or ()):
                reason = "its bolts have another size, place or class in an earlier row"
                return row, Fault(reason, "make them agree")
            bolts = [(id(group), bolt) for group, numbers in earlier or () for bolt in numbers]
        if self._printed:
            return row, None  # the same bolts come again, and what stands twice in a pass is seen there
        done = [(bolt, place, known) for bolt in bolts for place, known in self._done.get(bolt, {}).items()]
        row = replace(
            row, targets=behind_in_pass(row.targets, [(place, known.targets[place]) for _, place, known in done])
        )
        for (_, bolt), place, known in done:
            if place in row.targets and (self._named or known.targets == row.targets):
                which = f"bolt {bolt}" if bolt > 0 else "these bolts"
                which = f"stage {row.stage.number} of {which}" if row.stage else which
                return row, Fault(f"{which} stands in an earlier row too, {known.place}", "keep one")
        return row, None

    # Groups

    def _earlier(self, row: TableRow) -> _Pieces | None:
        """Return the bolts that a row without numbers goes on with; None when no earlier row has them."""
        if row.count:
            return self._counted.get(_counted_key(row))
        return self._by_name.get(row.name.lower()) if row.name else self._last

    def _pieces(self, row: TableRow) -> _Pieces:
        """Return the bolts of a row by their groups, in the order in which they stand."""
        pieces = self._numbered(row) if row.bolts else self._earlier(row) or self._count(row)
        for group, _ in pieces:
            group.name = group.name or row.name
            group.where = group.where or row.where
            group.grade = group.grade or row.grade
            group.size = group.size if group.size.words else row.size
        self._last = pieces
        if row.name:
            self._by_name[row.name.lower()] = pieces
        return pieces

    def _numbered(self, row: TableRow) -> _Pieces:
        pieces: list[tuple[TableBolts, list[int]]] = []
        owners = {bolt: self._owner(row, bolt) for bolt in row.bolts}
        fresh: TableBolts | None = None
        for bolt, owner in owners.items():
            group = owner
            if group is None:
                if fresh is None or len(fresh.bolts) >= MOST_BOLTS:
                    fresh = self._joined(row, owners)
                group = fresh
                group.bolts += (bolt,)
            if pieces and pieces[-1][0] is group:
                pieces[-1][1].append(bolt)
            else:
                pieces.append((group, [bolt]))
        for group, bolts in pieces:
            group.ordered |= self._ordered or bolts != sorted(bolts) or list(group.bolts) != sorted(group.bolts)
        return [(group, tuple(bolts)) for group, bolts in pieces]

    def _owner(self, row: TableRow, bolt: int) -> TableBolts | None:
        """Return the group that has ``bolt``, if ``row`` can be about the same one."""
        return next((one for one in self._groups if bolt in one.bolts and _fits(one, row)), None)

    def _joined(self, row: TableRow, owners: dict[int, TableBolts | None]) -> TableBolts:
        """Return the group that bolts of ``row`` belong to which stood in no row above."""
        for group in self._groups:
            alike = (group.name, group.size, group.where, group.grade) == (row.name, row.size, row.where, row.grade)
            among = not row.name and any(owner is group for owner in owners.values())
            if (alike or among) and min(group.bolts, default=1) > 0 and len(group.bolts) < MOST_BOLTS:
                return group
        return self._new(row)

    def _count(self, row: TableRow) -> _Pieces:
        """Return new bolts for a row that only counts them; a name and a number of them are the same ones again."""
        group = self._new(row)
        group.bolts = tuple(range(self._next, self._next - row.count, -1))
        self._next -= row.count
        group.ordered = self._ordered
        return self._counted.setdefault(_counted_key(row), [(group, group.bolts)])

    def _new(self, row: TableRow) -> TableBolts:
        self._groups.append(TableBolts(row.name, row.size, row.where, row.grade))
        return self._groups[-1]

    def _shared_numbers(self, rows: Sequence[TableRow]) -> None:
        """Ask about numbers that stand in two groups, unless their sizes show that these are different bolts."""
        for place, group in enumerate(self._groups):
            for other in self._groups[:place]:
                both = sorted(set(group.bolts) & set(other.bolts))
                sizes = {one.size.thread or one.size.words for one in (group, other)} - {""}
                if both and (len(sizes) < 2 or group.name.lower() == other.name.lower()):
                    row = next(row for row in rows if row.place == group.rows[0])
                    names = " and ".join(f'"{one.name or one.size.words or "bolts"}"' for one in (other, group))
                    fault = Fault(
                        f"bolt {both[0]} stands here and in {other.rows[0]}, in the groups {names}",
                        "if it is one bolt, give it one name and size; if there are two, number them apart. The groups "
                        "are drafted as steps of their own, so the order of their stages is to be checked",
                    )
                    self.conflicts.append(Conflict(row, fault, left_out=False))

    def _stages(self, actions: Sequence[TableAction]) -> list[PassRead]:
        passes, asked = in_stages(actions, named=self._named)
        if asked is not None:
            fault = Fault(
                "its bolts stand in an earlier row too, and nothing in the table names the stages",
                "the rows are drafted as stages in their order; name the stages in the table, or check the order",
            )
            self.conflicts.append(Conflict(asked, fault, left_out=False))
        return passes

    def number(self) -> dict[int, int]:
        """Note what a person must decide, and return the numbers of bolts that the table only counts."""
        numbers: dict[int, int] = {}
        following = max((bolt for group in self._groups for bolt in group.bolts), default=0)
        following = max(following, 0) + 1
        for group in self._groups:
            if min(group.bolts, default=0) < 0:
                numbers |= {bolt: following + place for place, bolt in enumerate(group.bolts)}
                following += len(group.bolts)
                group.bolts = tuple(numbers[bolt] for bolt in group.bolts)
                group.decide.append("the table counts these bolts and does not number them: check them on the bolt map")
            if not group.ordered and len(group.bolts) > 1:
                group.decide.append(
                    "the table names no order of tightening: put the bolts of each run in their order, or give the "
                    "group its layout with order: draft and the runs bolts: order"
                )
            if not group.size.words:
                group.decide.append("the table names no size: write it in words, as it is spoken")
        return numbers


def _counted_key(row: TableRow) -> tuple[object, ...]:
    """Return what bolts that are only counted are known by: without a name they are others in each row."""
    return (row.name.lower(), row.size, row.where, row.grade, row.count) if row.name else (row.at,)


def _fits(group: TableBolts, row: TableRow) -> bool:
    """Return whether ``row`` can say something of the same bolts as ``group``: what both of them name is equal."""
    size = not row.size.words or not group.size.words or row.size == group.size
    pairs = ((row.name, group.name), (row.where, group.where), (row.grade, group.grade))
    return size and all(not one or not other or one.lower() == other.lower() for one, other in pairs)
