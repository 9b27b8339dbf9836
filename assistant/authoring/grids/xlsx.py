"""Workbooks (.xlsx): the one adapter of openpyxl. A formula has the value that was stored with it."""

from __future__ import annotations

import io
import lzma
import re
import zipfile
import zlib
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import openpyxl
from openpyxl.utils.cell import range_boundaries

from assistant.authoring.grids.grid import CELL_TOO_LONG, LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Grid, squared
from assistant.faults import Fault
from assistant.terminal.exits import Exit, Refusal

_MOST_UNPACKED = 10_000_000
"""Bytes of XML in all; a tightening table has some ten thousand."""
_MOST_MERGED = 20_000
_MOST_PARTS = 500
_BROKEN = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, ET.ParseError, EOFError, OSError, ValueError, KeyError,
           NotImplementedError, RuntimeError)  # fmt: skip
"""What the archive's and the XML's readers raise on damaged bytes."""


def tabs(path: Path, data: bytes, wanted: str | None) -> list[Grid]:
    """Return one grid for each tab that is not empty, in the order of the workbook; only ``wanted`` if that is given.

    Raises:
        Refusal: it is no workbook, or one that is not fit to be opened.
    """
    _look_inside(path, data)
    values, formulas = (_load(path, data, values=values) for values in (True, False))
    names = values.sheetnames
    if wanted is not None and wanted not in names:
        raise _refused(f"{path} has no tab {wanted!r}: it has {', '.join(names[:20])}.")
    grids = []
    for name in names if wanted is None else [wanted]:
        sheet, other = values[name], formulas[name]
        if not hasattr(sheet, "iter_rows"):
            continue  # a chart
        if sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
            text = f"it has cells beyond row {MOST_ROWS} or column {MOST_COLUMNS}"
            raise _refused(f"The tab {name!r} of {path} is no tightening table: {text}.")
        grid = _grid(f"{path.name}, tab {name!r}", sheet, other)
        if grid.rows:
            grids.append(grid)
    if not grids:
        raise _refused(f"{path} has no tab with anything on it: name a workbook with a tightening table.")
    return grids


def _grid(name: str, sheet: Any, formulas: Any) -> Grid:
    wrong: dict[tuple[int, int], Fault] = {}
    rows: list[list[str]] = []
    for row, (cells, sources) in enumerate(zip(sheet.iter_rows(), formulas.iter_rows(), strict=True)):
        rows.append([])
        for column, (cell, source) in enumerate(zip(cells, sources, strict=True)):
            text, why = _read(cell, source)
            rows[-1].append(text)
            if why:
                wrong[row, column] = why
    merged = []
    for area in sheet.merged_cells.ranges:
        # What is written once over several cells holds for each of them.
        for row in range(area.min_row - 1, min(area.max_row, len(rows))):
            for column in range(area.min_col - 1, min(area.max_col, len(rows[row]))):
                rows[row][column] = rows[area.min_row - 1][area.min_col - 1]
        merged.append(area.coord)
    remarks = (f"Merged cells hold for all their rows and columns: {', '.join(merged[:12])}.",) if merged else ()
    return Grid(name, squared(rows), remarks, wrong, decimal_comma=True)


def _read(cell: Any, source: Any) -> tuple[str, Fault | None]:
    """Return the text of a cell, and why it has none although something stands there."""
    value = cell.value
    if value is None:
        if source.data_type == "f":
            return "", Fault("its formula has no stored result", "open and save the workbook in a spreadsheet program")
        return "", None
    if isinstance(value, bool):
        return "", Fault("it is a yes-or-no value", "write what is meant")
    if isinstance(value, datetime | date | time | timedelta):
        return "", Fault("the spreadsheet took it for a date or a time", "format the cell as text and type it again")
    if cell.data_type == "e":
        return "", Fault(f"its formula gives the error {value}", "mend it")
    if isinstance(value, int | float):
        return _number(value, str(cell.number_format or "")), None
    text = str(value)
    return (text, None) if len(text) <= LONGEST_CELL else ("", CELL_TOO_LONG)


def _number(value: float, shown_as: str) -> str:
    """Return a number with the unit that its format puts behind it, such as 0.0" Nm"."""
    text = f"{value:.10f}".rstrip("0").rstrip(".") if abs(value) < 1e15 else str(value)
    behind = re.fullmatch(r'[^"]*"([^"]*)"[^"]*', shown_as.split(";", maxsplit=1)[0])
    return f"{text}{behind[1]}" if behind else text


def _look_inside(path: Path, data: bytes) -> None:
    """Refuse what is no workbook, and what would unpack to more than any table, before anything is unpacked."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = packed.infolist()
            names = {part.filename for part in parts}
            if "xl/workbook.xml" not in names and not any(name.endswith("workbook.xml") for name in names):
                what = "an OpenDocument file" if "mimetype" in names else "a ZIP archive and no Excel workbook"
                raise _refused(f"{path} is {what}: save the table as .xlsx or as CSV.")
            # zipfile never unpacks more of a part than it declares, so a lie about the size ends as a broken part.
            if len(parts) > _MOST_PARTS or sum(part.file_size for part in parts) > _MOST_UNPACKED:
                raise _refused(f"{path} unpacks to more than any tightening table: copy the table into a new workbook.")
            sheets = [name for name in names if name.startswith("xl/worksheets/") and name.endswith(".xml")]
            if sum(_merged(packed.read(name)) for name in sheets) > _MOST_MERGED:
                raise _refused(f"{path} merges more cells than any table has: copy the table into a new workbook.")
    except _BROKEN as fault:
        raise _damaged(path) from fault


def _merged(xml: bytes) -> int:
    """Return how many cells a sheet merges; openpyxl makes each of them, so there must not be billions."""
    cells = 0
    for _, element in ET.iterparse(io.BytesIO(xml)):  # noqa: S314 - expat itself stops entities that grow
        if element.tag.rpartition("}")[2] == "mergeCell":
            left, top, right, bottom = (number or 1 for number in range_boundaries(element.get("ref", "A1")))
            cells += (right - left + 1) * (bottom - top + 1)
        element.clear()
    return cells


def _load(path: Path, data: bytes, *, values: bool) -> Any:
    try:
        return openpyxl.load_workbook(io.BytesIO(data), data_only=values, keep_links=False, rich_text=False)
    except Exception as fault:  # a damaged workbook can break openpyxl anywhere
        raise _damaged(path) from fault


def _damaged(path: Path) -> Refusal:
    return _refused(f"{path} is a damaged workbook: open it in a spreadsheet program and save it again as .xlsx.")


def _refused(sentence: str) -> Refusal:
    return Refusal(sentence, Exit.PROCEDURE)
