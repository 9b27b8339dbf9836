"""Tables of bolts for the sheets: one row for a bolt, and columns of quantities with their units."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from assistant.authoring.grids.file import read_grids
from assistant.authoring.grids.grid import Grid
from assistant.faults import Fault
from assistant.terminal.exits import Exit, Refusal

_UNIT = re.compile(r"(?P<name>[^\[(]*?)\s*[\[(](?P<unit>[^\])]+)[\])]")
_BOLT = ("bolt", "no", "number")
_MOST_BOLT = 999
_Q = TypeVar("_Q")


@dataclass(frozen=True, slots=True)
class BoltColumn(Generic[_Q]):
    """A column that a sheet reads: its names in a head, what reads a cell and its unit, whether it must be there."""

    names: Sequence[str]
    parse: Callable[[str], _Q | Fault]
    needed: bool = True


def read_bolts(path: Path, columns: Mapping[str, BoltColumn[_Q]]) -> dict[str, dict[int, _Q]]:
    """Return the values of each of ``columns`` by the number of the bolt; a cell may be empty.

    A unit stands in the cell, or in brackets in the head: ``torque [N·m]``.

    Raises:
        Refusal: the file is no such table; the sentence names the place.
    """
    grids = read_grids(path)
    grid = next((one for one in grids if one.width > 1 and _find(one, _BOLT) is not None), grids[0])
    at_bolt = _find(grid, _BOLT)
    if at_bolt is None or len(grid.rows) < 2:
        raise _refused(f"{path} has no column of bolts: write bolt above it, and one row for each bolt")
    found: dict[str, dict[int, _Q]] = {}
    for key, column in columns.items():
        at = _find(grid, column.names)
        if at is not None:
            found[key] = _values(path, grid, at_bolt, at, column)
        elif column.needed:
            raise _refused(f"{path} has no column of that kind: write {column.names[0]} above it")
    return found


def _values(path: Path, grid: Grid, at_bolt: int, at: int, column: BoltColumn[_Q]) -> dict[int, _Q]:
    unit = _head(grid, at)[1]
    values: dict[int, _Q] = {}
    for number, row in enumerate(grid.rows[1:], 1):
        if not row[at]:
            continue
        bolt = _bolt(path, grid, number, at_bolt)
        if bolt in values:
            raise _refused(f"{path}, {grid.place(number, at_bolt)}: bolt {bolt} is there twice, write each once")
        cell = row[at].replace(",", ".") if grid.decimal_comma else row[at]
        bare = re.fullmatch(r"[-+]?[\d.,]+", cell) is not None
        value = column.parse(f"{cell} {unit}" if bare and unit else cell)
        if isinstance(value, Fault):
            raise _refused(f"{path}, {grid.place(number, at)}: {value.sentence}")
        values[bolt] = value
    return values


def _bolt(path: Path, grid: Grid, row: int, column: int) -> int:
    text = grid.rows[row][column]
    if re.fullmatch(r"\d{1,3}", text, re.ASCII) is None or not 1 <= int(text) <= _MOST_BOLT:
        raise _refused(f"{path}, {grid.place(row, column)}: {text!r} is no number of a bolt, write 1 to {_MOST_BOLT}")
    return int(text)


def _head(grid: Grid, column: int) -> tuple[str, str]:
    text = grid.rows[0][column] if grid.rows else ""
    found = _UNIT.fullmatch(text.strip())
    name, unit = (found["name"], found["unit"]) if found else (text, "")
    return name.strip().lower(), unit.strip()


def _find(grid: Grid, names: Sequence[str]) -> int | None:
    return next((at for at in range(grid.width) if _head(grid, at)[0] in names), None)


def _refused(sentence: str) -> Refusal:
    return Refusal(f"{sentence}.", Exit.USAGE)
