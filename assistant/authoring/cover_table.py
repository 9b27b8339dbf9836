"""A table of places: one row for each bolt of a cover, with its number and where it sits."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from pathlib import Path

from assistant.authoring.grids.file import read_grids
from assistant.authoring.grids.grid import Grid
from assistant.fastening.cover_places import CoverPoint
from assistant.fastening.units import parse_length
from assistant.faults import Fault
from assistant.procedure.format.values import MOST_BOLT_NUMBER
from assistant.terminal.exits import Exit, Refusal

_HEADS = {
    "bolt": ("bolt", "bolts", "no", "no.", "nr", "number", "screw", "nut", "#"),
    "x": ("x", "right", "across"),
    "y": ("y", "up", "upwards"),
}
_ZERO = re.compile(r"0+(?:[.]0+)?\s*([^\d.]*)", re.ASCII)
_HINT = "write numbers in one unit, such as 38.5 or -12, or a unit at each, such as 38.5 mm or 1.5 in"


def read_cover(path: Path, tab: str | None = None) -> dict[int, CoverPoint]:
    """Return the bolts of the table at ``path`` by their numbers with their places.

    Places are plain numbers in one unit, or lengths with a unit each, which come back in millimetres.

    Raises:
        Refusal: there is no such table, or a row of it cannot be used; the sentence says which.
    """
    for grid in read_grids(path, tab):
        for at, row in enumerate(grid.rows):
            columns = _columns(row)
            if columns is not None:
                return _places(grid, at, columns)
    raise _refused(f"{path} has no table of places: it needs a row of heads with bolt, x and y.")


def _columns(row: tuple[str, ...]) -> tuple[int, int, int] | None:
    found = {}
    for name, words in _HEADS.items():
        places = [at for at, cell in enumerate(row) if cell.lower() in words]
        if len(places) != 1:
            return None
        found[name] = places[0]
    return found["bolt"], found["x"], found["y"]


def _places(grid: Grid, head: int, columns: tuple[int, int, int]) -> dict[int, CoverPoint]:
    places: dict[int, CoverPoint] = {}
    bare: set[bool] = set()
    for at, row in enumerate(grid.rows[head + 1 :], start=head + 1):
        if not any(row):
            continue
        bolt, across, up = (row[column] for column in columns)
        if not (bolt.isascii() and bolt.isdigit() and 0 < int(bolt) <= MOST_BOLT_NUMBER):
            raise _refused(f"{grid.place(at, columns[0])}: {bolt!r} is no bolt number: number bolts from 1 on.")
        if int(bolt) in places:
            raise _refused(f"{grid.line(at)}: bolt {bolt} has a place already: give every bolt one row.")
        read = []
        for column, text in zip(columns[1:], (across, up), strict=True):
            found = _coordinate(text.replace(",", ".") if grid.decimal_comma else text)
            if isinstance(found, Fault):
                raise _refused(f"{grid.place(at, column)}: bolt {bolt} has {found.sentence}.")
            read.append(found[0])
            if found[0]:  # zero is zero in any unit
                bare.add(found[1])
        places[int(bolt)] = (read[0], read[1])
        if len(bare) > 1:
            raise _refused(f"{grid.line(at)}: some places have a unit and some have none: {_HINT}.")
    if not places:
        raise _refused(f"{grid.name} has a head and no row below it: write one row for each bolt.")
    return places


def _coordinate(text: str) -> tuple[float, bool] | Fault:
    """Return a place on one axis [mm where it has a unit], and whether it stands there without one."""
    sign = -1 if text[:1] in "-−–" and text else 1
    amount = text.lstrip("+-−–").strip()
    if not amount:
        return Fault("no place", "give every bolt its x and y")
    if zero := _ZERO.fullmatch(amount):
        unit = parse_length(f"1 {zero[1]}") if zero[1] else None
        return Fault(f"{text!r}, which is no place", _HINT) if isinstance(unit, Fault) else (0.0, unit is None)
    try:
        value = Decimal(amount)
    except InvalidOperation:
        length = parse_length(amount)
        if isinstance(length, Fault):
            return Fault(f"{text!r}, which is no place", _HINT)
        return sign * float(length.millimetres), False
    if not value.is_finite() or value > 100_000:
        return Fault(f"{text!r}, which is no place", _HINT)
    return sign * float(value), True


def _refused(sentence: str) -> Refusal:
    return Refusal(sentence, Exit.PROCEDURE)
