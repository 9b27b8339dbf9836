"""What the columns of a tightening table mean, by the words at their head. What is not sure is not guessed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from assistant.authoring.grids.grid import Grid
from assistant.authoring.tables.stages import LABEL, ORDINAL, StageLabel, parse_stage
from assistant.authoring.tables.values import TableUnit, parse_unit
from assistant.fastening.quantities import TorqueUnit


class Role(StrEnum):
    """What a column holds, as it is told to the person."""

    BOLTS = "bolt numbers"
    COUNT = "how many bolts"
    GROUP = "name of the group"
    WHERE = "where they are"
    SIZE = "size"
    LENGTH = "length"
    GRADE = "property class"
    STAGE = "number of the stage"
    ORDER = "place in the order of tightening"
    VALUE = "value of a stage"
    UNIT = "unit"
    PASSES = "number of the pass in its stage"
    LABEL = "name of the stage"
    PURPOSE = "what is done: tighten, loosen or check"
    REPEAT = "how often the pass is done"
    TOGETHER = "whether the bolts of a row are turned at the same time"
    TOOL = "tool"
    RESEAT = "stage from which all is done once more"


PRINTED = frozenset({Role.PASSES, Role.LABEL, Role.PURPOSE, Role.REPEAT, Role.TOGETHER, Role.TOOL, Role.RESEAT})
"""What only a table with a column of stages can say: its rows are the passes, in their order."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column that was understood: its place from zero, the words at its head, its role and the unit named there."""

    at: int
    words: str
    role: Role
    unit: TableUnit | None = None
    label: StageLabel | None = None
    """Which stage the words name, in a column of values that are those of one stage."""


@dataclass(frozen=True, slots=True)
class TableHead:
    """The head of a table: where its first row of values is, its columns, and the columns that were not understood."""

    grid: Grid
    row: int
    first: int
    columns: tuple[Column, ...]
    others: tuple[tuple[int, str], ...]
    counters: tuple[int, ...] = ()
    """Those of the others that may number the rows of the table."""

    @property
    def score(self) -> int:
        """How much of it was understood: a table without values, or without anything to tighten, is none."""
        roles = {column.role for column in self.columns}
        units = sum(column.unit is not None for column in self.columns)
        fit = Role.VALUE in roles and roles & {Role.BOLTS, Role.COUNT, Role.GROUP, Role.SIZE}
        return len(self.columns) + len(roles) + units if fit else 0

    def all(self, role: Role) -> list[Column]:
        """Return the columns of a role, from left to right."""
        return [column for column in self.columns if column.role is role]

    def one(self, role: Role) -> Column | None:
        """Return the first column of a role."""
        return next(iter(self.all(role)), None)


_MOST_TITLES = 40
_ORDINAL = rf"(?:{ORDINAL}|last|initial|final)"
_STAGE = r"(?:stage|step|pass|phase|round)"
_WHAT = r"(?:torque|angle|value|target|tightening|tightening torque|tightening angle|setting)"
_WORDS: tuple[tuple[Role, str], ...] = (
    (Role.COUNT, r"qty|quantity|count|pcs|pieces|how many|(?:number|no|num|nos) (?:of|off)(?: bolts| screws)?|amount"),
    (Role.BOLTS, r"(?:bolts?|screws?|fasteners?|nuts?)(?: (?:no|nos|nr|numbers?|ids?|positions?))?|nos?|nr|number|#"
                 r"|pos|positions?|bolt sequence|tightening sequence|bolts in order"),
    (Role.ORDER, r"order|sequence|seq|tightening order|order of tightening"),
    (Role.GROUP, r"(?:bolt )?group|(?:group |bolt )?name|description|designation|item|component|part|joint|application"
                 r"|fastener group"),
    (Role.WHERE, r"where|place|location"),
    (Role.SIZE, r"(?:bolt |thread |screw )?size|thread|dimensions?|diameter"),
    (Role.LENGTH, r"(?:bolt |screw )?length"),
    (Role.GRADE, r"(?:property |strength |bolt )?class|(?:bolt |strength )?grade|strength"),
    (Role.UNIT, r"(?:torque |angle )?units?"),
    (Role.LABEL, r"label|(?:stage )(?:name|label|title)|(?:name|label|title) of (?:the )?stage"),
    (Role.PURPOSE, r"purpose|action|operation"),
    (Role.REPEAT, r"repeat|repeats|repetitions|times"),
    (Role.TOGETHER, r"together|turned together|at the same time|simultaneous|simultaneously"),
    (Role.TOOL, r"tools?"),
    (Role.RESEAT, r"reseat|(?:reseat|repeat|again|begin again|once more) from(?: stage)?"),
    (Role.STAGE, r"(?:stage|step|pass|phase)(?: (?:no|nr|number))?"),
    (Role.VALUE, rf"{_STAGE} ?{LABEL}(?: {_WHAT})?|{_ORDINAL} {_STAGE}(?: {_WHAT})?|{_ORDINAL} {_WHAT}"
                 rf"|{_WHAT}(?: ?{LABEL})?|pre ?(?:torque|tightening)|snug(?: torque)?"
                 rf"|(?:further|additional|then|plus) (?:turn|angle)|turn|programme|initial|final"
                 rf"|{_WHAT} {_STAGE} ?{LABEL}"),
)  # fmt: skip
_SAYS_BOLTS = re.compile(r"bolt|screw|fastener|nut")
_BRACKETS = re.compile(r"[\[(]([^\])]*)[\])]")


def find_head(grids: list[Grid]) -> TableHead | None:
    """Return the head that can be understood best, among the grids and with rows and columns exchanged; None if none.

    Earlier grids, and tables as they stand, are preferred to others that are understood equally well.
    """
    best: TableHead | None = None
    for grid in grids:
        for turned in (grid, grid.transposed()):
            for head in _heads(turned):
                if best is None or head.score > best.score:
                    best = head
    return best if best is not None and best.score else None


def _heads(grid: Grid) -> Iterator[TableHead]:
    for row in range(min(len(grid.rows), _MOST_TITLES)):
        yield _head(grid, row, row + 1, list(grid.rows[row]))
        if row + 1 < len(grid.rows) and (both := _two_rows(grid.rows[row], grid.rows[row + 1])):
            yield _head(grid, row, row + 2, both)


def _head(grid: Grid, row: int, first: int, texts: list[str]) -> TableHead:
    columns: list[Column] = []
    others: list[tuple[int, str]] = []
    for at, text in enumerate(texts):
        column = _column(at, text)
        if column is not None:
            columns.append(_named(column, [line[at] for line in grid.rows[first:] if line[at]]))
        elif text or any(line[at] for line in grid.rows[first:]):
            others.append((at, text))
    columns = _parted(columns)
    counters = _row_numbers(columns, grid.rows[first:])
    left = [*counters, *_second(columns, counters)]
    others += [(at, texts[at]) for at in left]
    used = tuple(one for one in columns if one.at not in left)
    return TableHead(grid, row, first, used, tuple(sorted(others)), tuple(counters))


def _parted(columns: list[Column]) -> list[Column]:
    """Return the columns with one of passes as such, where another one has the stages."""
    stages = [one for one in columns if one.role is Role.STAGE]
    passes = [one for one in stages if one.words.lower().startswith("pass")]
    if len(passes) in (0, len(stages)):
        return columns
    return [replace(one, role=Role.PASSES) if one is passes[0] else one for one in columns]


def _second(columns: list[Column], but: list[int]) -> list[int]:
    """Return the places of columns whose role another one has already, or that go with one that is not there."""
    roles = {column.role for column in columns if column.at not in but}
    seen: set[Role] = set()
    found = []
    for column in columns:
        if column.at in but or column.role is Role.VALUE:
            continue
        alone = (column.role is Role.LENGTH and Role.SIZE not in roles) or (
            column.role in PRINTED and Role.STAGE not in roles
        )
        if column.role in seen or alone:
            found.append(column.at)
        seen.add(column.role)
    return found


def _row_numbers(columns: list[Column], rows: tuple[tuple[str, ...], ...]) -> list[int]:
    """Return the places of columns that may number the rows of the table, and not the bolts.

    Their head does not say that they are bolts, and each of their single numbers stands beside a name of its own.
    """
    group = next((one.at for one in columns if one.role is Role.GROUP), None)
    if group is None:
        return []
    found = []
    for one in columns:
        cells = [(row[one.at], row[group]) for row in rows if row[one.at]]
        names = {name for _, name in cells}
        plain = all(number.rstrip(".").isdecimal() for number, _ in cells)
        if one.role is Role.BOLTS and not _SAYS_BOLTS.search(one.words.lower()) and plain and len(names) == len(cells):
            found.append(one.at)
    return found


def _named(column: Column, cells: list[str]) -> Column:
    """Return the column of bolts as one of names when nothing in it is a number of a bolt, but words are."""
    if column.role is Role.BOLTS and cells and not any(re.match(r"\W*\d|bolts? \d", cell.lower()) for cell in cells):
        return replace(column, role=Role.GROUP)
    return column


def _two_rows(above: tuple[str, ...], below: tuple[str, ...]) -> list[str]:
    """Join a head of two rows: stages above their units or kinds; [] when the second row is no part of a head."""
    if not any(below) or any(text and text != above[at] and not _column(at, text) for at, text in enumerate(below)):
        return []
    texts, last = [], ""
    for upper, lower in zip(above, below, strict=True):
        last = upper or (last if lower else "")  # what is written once over several columns holds for all of them
        texts.append(last if lower in ("", last) else f"{last} {lower}".strip())
    return texts


def _column(at: int, text: str) -> Column | None:
    """Tell what one column is; None when its head says nothing that is known."""
    words, unit = _unit_of(text)
    if not words and unit is not None:
        return Column(at, text, Role.VALUE, unit)
    plain = re.sub(r"[^\w#]+", " ", words.lower()).strip()
    for role, pattern in _WORDS:
        if re.fullmatch(pattern, plain):
            label = _label(plain) if role is Role.VALUE else None
            return Column(at, text, role, unit, label) if unit is None or role is Role.VALUE else None
    return None


def _label(plain: str) -> StageLabel | None:
    """Return which stage the words of a column of values name, such as "stage 2a torque"; None when they name none."""
    return parse_stage(re.sub(rf"\b(?:{_WHAT}|{_STAGE})\b", " ", plain))


def twins(head: TableHead) -> dict[Column, list[Column]]:
    """Return the columns that say the same torque in other units, such as Torque (lbf.ft) of Torque (Nm)."""
    found: dict[Column, list[Column]] = {}
    taken: set[int] = set()
    values = [one for one in head.all(Role.VALUE) if isinstance(one.unit, TorqueUnit)]
    for place, one in enumerate(values):
        if one.at in taken:
            continue
        units = {one.unit}
        for other in values[place + 1 :]:
            same = _unit_of(one.words)[0].lower() == _unit_of(other.words)[0].lower()
            if same and other.unit not in units and other.at not in taken:
                units.add(other.unit)
                taken.add(other.at)
                found.setdefault(one, []).append(other)
    return found


def _unit_of(text: str) -> tuple[str, TableUnit | None]:
    """Part the words at the head of a column from the unit behind them, in brackets or bare."""
    found = [(bracket, parse_unit(bracket[1])) for bracket in _BRACKETS.finditer(text)]
    units = [(bracket, unit) for bracket, unit in found if unit is not None]
    if len(units) == 1:
        bracket, unit = units[0]
        return (text[: bracket.start()] + text[bracket.end() :]).strip(), unit
    tokens = text.split()
    for many in (3, 2, 1):
        tail = " ".join(tokens[-many:]).strip("/,: ")
        named = parse_unit(tail) if len(tokens) >= many else None
        if named is not None:
            words = re.sub(r"(?:\bin\b|[/,:])$", "", " ".join(tokens[:-many]).strip(" /,:")).strip()
            return words, named
    return text, None
