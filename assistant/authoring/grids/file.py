"""From a file to the grids that may be the table: what kind of file it is, and CSV in its many ways."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path

from assistant.authoring.grids.grid import CELL_TOO_LONG, LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Grid, squared
from assistant.authoring.grids.xlsx import tabs
from assistant.files import FileFault, read_file
from assistant.terminal.exits import Exit, Refusal

MOST_TABLE_BYTES = 5_000_000
_PARTERS = {"\t": "tabs", ";": "semicolons", "|": "bars", ",": "commas"}
_NOT_TABLES = (
    (b"\xd0\xcf\x11\xe0", "an old Excel file, or one with a password: save it as .xlsx without a password"),
    (b"%PDF", "a PDF: copy its table into a spreadsheet and save that"),
    (b"\x89PNG", "a picture: type its table into a spreadsheet"),
    (b"\xff\xd8\xff", "a picture: type its table into a spreadsheet"),
    (b"{\\rtf", "a text document: copy its table into a spreadsheet and save that"),
)


def read_grids(path: Path, tab: str | None = None) -> list[Grid]:
    """Return the tables that ``path`` may hold, best guess first: one for each tab, or one for each parting of a CSV.

    ``tab`` names the only tab that is wanted.

    Raises:
        Refusal: the file cannot be read, or is no table.
    """
    data = _bytes(path)
    for magic, what in _NOT_TABLES:
        if data.startswith(magic):
            raise _refused(f"{path} is {what}, or as CSV.")
    if data.startswith(b"PK\x03\x04"):
        return tabs(path, data, tab)
    if tab is not None:
        raise _refused(f"{path} is no workbook, so it has no tab {tab!r}: leave out --tab.")
    return _csv(path, data)


def _bytes(path: Path) -> bytes:
    data = read_file(path, MOST_TABLE_BYTES, "a tightening table, a .csv or .xlsx file")
    if isinstance(data, FileFault):
        raise _refused(f"{data.sentence}.")
    if not data.strip():
        raise _refused(f"{path} is empty: name a file with a tightening table.")
    return data


def _csv(path: Path, data: bytes) -> list[Grid]:
    text, remark = _text(path, data)
    grids = []
    for parter, name in _PARTERS.items():
        if parter not in text:
            continue
        try:
            rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=parter, strict=False))
        except csv.Error:
            continue  # a field longer than any table has
        if len(rows) > MOST_ROWS or max(map(len, rows), default=0) > MOST_COLUMNS:
            continue
        remarks = (*remark, f"Its cells are parted by {name}.")
        wrong = {
            (row, column): CELL_TOO_LONG
            for row, cells in enumerate(rows)
            for column, cell in enumerate(cells)
            if len(cell) > LONGEST_CELL
        }
        tidy = squared([[cell if len(cell) <= LONGEST_CELL else "" for cell in row] for row in rows])
        grids.append(Grid(path.name, tidy, remarks, wrong, decimal_comma=parter != ","))
    if not grids:
        most = f"at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
        raise _refused(f"{path} is no table: save it as .xlsx, or as CSV with commas, semicolons or tabs, {most}.")
    return grids


def _text(path: Path, data: bytes) -> tuple[str, tuple[str, ...]]:
    for mark in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
        if data.startswith(mark):
            try:
                return _clean(path, data.decode("utf-16")), ("It is UTF-16 text.",)
            except UnicodeDecodeError as fault:
                raise _refused(f"{path} begins as UTF-16 text and does not go on so: save it as UTF-8.") from fault
    try:
        return _clean(path, data.decode("utf-8-sig")), ()
    except UnicodeDecodeError:
        pass
    # Every byte is a letter in Latin-1, so what is no text is told by its control characters. The Windows kind of it
    # differs in 32 places, where Latin-1 has control characters; five of them are no letter in either.
    text = data.decode("cp1252", "replace")
    return _clean(path, text), ("It is not UTF-8, so it was read as Latin-1: look at the accents and degree signs.",)


def _clean(path: Path, text: str) -> str:
    if any(ord(letter) < 32 and letter not in "\t\r\n\f" for letter in text) or "\ufffd" in text:
        raise _refused(f"{path} is neither a spreadsheet nor text: save the table as .xlsx or as CSV.")
    return text


def _refused(sentence: str) -> Refusal:
    return Refusal(sentence, Exit.PROCEDURE)
