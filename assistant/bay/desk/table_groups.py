"""Rows of a table become groups of bolts, and the actions on them in the order that the table means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from assistant.bay.desk.table_stages import Label
from assistant.bay.desk.table_values import Size, Target
from assistant.fastening.units import Angle
from assistant.procedure.values import MOST_BOLTS


class Pass(NamedTuple):
    """When a target is reached: in which stage that the row names, in which column, and as which value of its cell."""

    stage: tuple[int, int]
    column: int
    part: int


@dataclass(slots=True)
class Bolts:
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

    group: Bolts
    bolts: tuple[int, ...]
    target: Target


@dataclass(slots=True)
class Programme:
    """What was understood of a table, and what was not."""

    groups: list[Bolts] = field(default_factory=list)
    stages: list[list[Turn]] = field(default_factory=list)
    """The passes in their order; the targets of one are all torques or all angles."""
    remarks: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    """What was not understood, with its row and column."""
    notes: list[str] = field(default_factory=list)
    """The table as it was read, row by row."""


@dataclass(frozen=True, slots=True)
class Row:
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
    stage: Label | None
    targets: dict[Pass, Target]


class Conflict(NamedTuple):
    """Why a row does not fit to those above it, or only perhaps; with ``left_out`` its values are not drafted."""

    row: Row
    text: str
    left_out: bool = True


_Pieces = list[tuple[Bolts, tuple[int, ...]]]
"""Bolts by their groups, in the order in which a row names them."""


class Grouper:
    """Puts rows together into groups and actions.

    ``named`` says that the rows, or the columns, name their stages; ``ordered`` that the bolts of a cell stand in the
    order of tightening.
    """

    def __init__(self, *, named: bool, ordered: bool) -> None:
        self._named = named
        self._ordered = ordered
        self._groups: list[Bolts] = []
        self._counted: dict[tuple[object, ...], _Pieces] = {}
        self._by_name: dict[str, _Pieces] = {}
        self._last: _Pieces | None = None
        self._next = -1
        self._done: dict[tuple[int, int], dict[Pass, Row]] = {}
        """What was read for each bolt, by its group and number."""
        self.conflicts: list[Conflict] = []

    def programme(self, rows: Sequence[Row]) -> tuple[list[Bolts], list[list[Turn]]]:
        """Return the groups and the stages of ``rows``, which stand in the order of the table."""
        actions: list[tuple[Pass, Row, Turn]] = []
        for one in rows:
            row, why = self._fitting(one)
            if why:
                self.conflicts.append(Conflict(one, why))
                continue
            pieces = self._pieces(row)
            for group, bolts in pieces:
                for bolt in bolts:
                    self._done.setdefault((id(group), bolt), {}).update(dict.fromkeys(row.targets, row))
                if row.place not in group.rows:
                    group.rows.append(row.place)
            for place, target in row.targets.items():
                actions += [(place, row, Turn(group, bolts, target)) for group, bolts in pieces]
        self._shared_numbers(rows)
        return self._groups, self._stages(actions)

    def _fitting(self, row: Row) -> tuple[Row, str]:
        """Return the row with its passes behind those of earlier rows, and why it does not fit to them, or ""."""
        if row.bolts:
            owners = {bolt: self._owner(row, bolt) for bolt in row.bolts}
            bolts = [(id(owner), bolt) for bolt, owner in owners.items() if owner]
        else:
            earlier = self._earlier(row)
            if earlier is None and not row.count:
                return row, "it says neither which bolts nor how many: add them"
            if not all(_fits(group, row) for group, _ in earlier or ()):
                return row, "its bolts have another size, place or class in an earlier row: make them agree"
            bolts = [(id(group), bolt) for group, numbers in earlier or () for bolt in numbers]
        done = [(bolt, place, known) for bolt in bolts for place, known in self._done.get(bolt, {}).items()]
        row = replace(row, targets=_behind(row.targets, [(place, known.targets[place]) for _, place, known in done]))
        for (_, bolt), place, known in done:
            if place in row.targets and (self._named or known.targets == row.targets):
                which = f"bolt {bolt}" if bolt > 0 else "these bolts"
                which = f"stage {row.stage.number} of {which}" if row.stage else which
                return row, f"{which} stands in an earlier row too, {known.place}: keep one"
        return row, ""

    # Groups

    def _earlier(self, row: Row) -> _Pieces | None:
        """Return the bolts that a row without numbers goes on with; None when no earlier row has them."""
        if row.count:
            return self._counted.get(_counted_key(row))
        return self._by_name.get(row.name.lower()) if row.name else self._last

    def _pieces(self, row: Row) -> _Pieces:
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

    def _numbered(self, row: Row) -> _Pieces:
        pieces: list[tuple[Bolts, list[int]]] = []
        owners = {bolt: self._owner(row, bolt) for bolt in row.bolts}
        fresh: Bolts | None = None
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

    def _owner(self, row: Row, bolt: int) -> Bolts | None:
        """Return the group that has ``bolt``, if ``row`` can be about the same one."""
        return next((one for one in self._groups if bolt in one.bolts and _fits(one, row)), None)

    def _joined(self, row: Row, owners: dict[int, Bolts | None]) -> Bolts:
        """Return the group that bolts of ``row`` belong to which stood in no row above."""
        for group in self._groups:
            alike = (group.name, group.size, group.where, group.grade) == (row.name, row.size, row.where, row.grade)
            among = not row.name and any(owner is group for owner in owners.values())
            if (alike or among) and min(group.bolts, default=1) > 0 and len(group.bolts) < MOST_BOLTS:
                return group
        return self._new(row)

    def _count(self, row: Row) -> _Pieces:
        """Return new bolts for a row that only counts them; a name and a number of them are the same ones again."""
        group = self._new(row)
        group.bolts = tuple(range(self._next, self._next - row.count, -1))
        self._next -= row.count
        group.ordered = self._ordered
        return self._counted.setdefault(_counted_key(row), [(group, group.bolts)])

    def _new(self, row: Row) -> Bolts:
        self._groups.append(Bolts(row.name, row.size, row.where, row.grade))
        return self._groups[-1]

    def _shared_numbers(self, rows: Sequence[Row]) -> None:
        """Ask about numbers that stand in two groups, unless their sizes show that these are different bolts."""
        for place, group in enumerate(self._groups):
            for other in self._groups[:place]:
                both = sorted(set(group.bolts) & set(other.bolts))
                sizes = {one.size.thread or one.size.words for one in (group, other)} - {""}
                if both and (len(sizes) < 2 or group.name.lower() == other.name.lower()):
                    row = next(row for row in rows if row.place == group.rows[0])
                    names = " and ".join(f'"{one.name or one.size.words or "bolts"}"' for one in (other, group))
                    text = (
                        f"bolt {both[0]} stands here and in {other.rows[0]}, in the groups {names}: if it is one bolt, "
                        "give it one name and size; if there are two, number them apart. The groups are drafted as "
                        "steps of their own, so the order of their stages is to be checked"
                    )
                    self.conflicts.append(Conflict(row, text, left_out=False))

    # Stages

    def _stages(self, actions: list[tuple[Pass, Row, Turn]]) -> list[list[Turn]]:
        by_stage = _cut(sorted(actions, key=lambda action: action[0]), by_pass=True)
        if self._named:
            return by_stage
        by_row = _cut(actions, by_pass=False)
        repeated = self._repeated(actions, by_pass=_flat(by_row) == _flat(by_stage))
        if repeated is None:
            return by_stage
        text = (
            "its bolts stand in an earlier row too, and nothing in the table names the stages: the rows are drafted "
            "as stages in their order; name the stages in the table, or check the order"
        )
        self.conflicts.append(Conflict(repeated, text, left_out=False))
        return by_row

    @staticmethod
    def _repeated(actions: list[tuple[Pass, Row, Turn]], *, by_pass: bool) -> Row | None:
        """Return the first row with a bolt that an earlier row has too; with ``by_pass``, has in the same pass."""
        seen: dict[tuple[int, int, Pass | None], Row] = {}
        for place, row, turn in actions:
            for bolt in turn.bolts:
                if seen.setdefault((id(turn.group), bolt, place if by_pass else None), row) is not row:
                    return row
        return None

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
                group.decide.append("the table names no order of tightening: put the bolts of each run in their order")
            if not group.size.words:
                group.decide.append("the table names no size: write it in words, as it is spoken")
        return numbers


def _counted_key(row: Row) -> tuple[object, ...]:
    """Return what bolts that are only counted are known by: without a name they are others in each row."""
    return (row.name.lower(), row.size, row.where, row.grade, row.count) if row.name else (row.at,)


def _behind(targets: dict[Pass, Target], done: Sequence[tuple[Pass, Target]]) -> dict[Pass, Target]:
    """Return ``targets`` with a torque behind the angle, and an angle behind the torque, that ``done`` has in its pass.

    The torque and the angle of one stage may stand in two rows; two torques of one stage are a slip.
    """
    made: dict[Pass, Target] = {}
    for place, target in targets.items():
        at = place
        while any(one == at and isinstance(other, Angle) is not isinstance(target, Angle) for one, other in done):
            at = at._replace(part=at.part + 1)
        made[at] = target
    return made


def _fits(group: Bolts, row: Row) -> bool:
    """Return whether ``row`` can say something of the same bolts as ``group``: what both of them name is equal."""
    size = not row.size.words or not group.size.words or row.size == group.size
    pairs = ((row.name, group.name), (row.where, group.where), (row.grade, group.grade))
    return size and all(not one or not other or one.lower() == other.lower() for one, other in pairs)


def _cut(actions: Sequence[tuple[Pass, Row, Turn]], *, by_pass: bool) -> list[list[Turn]]:
    """Cut actions, in their order, into stages: none takes a bolt twice, or has both torques and angles."""
    stages: list[list[Turn]] = []
    last: Pass | None = None
    taken: set[tuple[int, int]] = set()
    for place, _, turn in actions:
        bolts = {(id(turn.group), bolt) for bolt in turn.bolts}
        angle = isinstance(turn.target, Angle)
        same = not by_pass or place == last
        if stages and same and isinstance(stages[-1][-1].target, Angle) == angle and not bolts & taken:
            before = stages[-1][-1]
            if before.group is turn.group and str(before.target) == str(turn.target):
                stages[-1][-1] = Turn(turn.group, before.bolts + turn.bolts, turn.target)
            else:
                stages[-1].append(turn)
        else:
            stages.append([turn])
            taken = set()
        taken |= bolts
        last = place
    return stages


def _flat(stages: list[list[Turn]]) -> list[tuple[int, int, str]]:
    return [(id(turn.group), bolt, str(turn.target)) for stage in stages for turn in stage for bolt in turn.bolts]


def joints(groups: Sequence[Bolts]) -> Iterator[list[Bolts]]:
    """Yield groups that are tightened in one step: no number stands twice in it, and one joint is numbered through."""
    found: list[list[Bolts]] = []
    for group in groups:
        one = next((one for one in found if not any(set(group.bolts) & set(other.bolts) for other in one)), None)
        if one is None:
            found.append([group])
        else:
            one.append(group)
    yield from found
