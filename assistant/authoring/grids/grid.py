"""A table as it lies in a file: rows of texts, each with a name by which a person finds it again."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.faults import Fault
from assistant.procedure.findings import Finding, Level
from assistant.procedure.format.source import is_control

MOST_ROWS, MOST_COLUMNS = 2000, 100
"""Far more than any tightening table has."""
LONGEST_CELL = 300
TABLE_RULE = "table"
"""The rule of every complaint about a table."""
CELL_TOO_LONG = Fault("it is longer than any cell of a tightening table", "shorten it")


@dataclass(frozen=True, slots=True)
class Grid:
    """The cells of one table, all rows of one length; "" where nothing stands.

    ``remarks`` say what the reader did or could not do with the file, a sentence each; ``wrong`` has, by (row, column)
    from zero, why a cell that is not empty has no text.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    remarks: tuple[str, ...] = ()
    wrong: dict[tuple[int, int], Fault] = field(default_factory=dict)
    turned: bool = False
    """Whether rows and columns were exchanged."""
    decimal_comma: bool = False
    """Whether commas in the file part decimals, not cells."""

    @property
    def width(self) -> int:
        """Number of columns."""
        return len(self.rows[0]) if self.rows else 0

    def place(self, row: int, column: int) -> str:
        """Name a cell as its owner sees it, from places that count from zero: "row 4, column C"."""
        if self.turned:
            row, column = column, row
        return f"row {row + 1}, column {letters(column)}"

    def line(self, row: int) -> str:
        """Name a whole row as its owner sees it."""
        return f"column {letters(row)}" if self.turned else f"row {row + 1}"

    def head(self, column: int) -> str:
        """Name a whole column as its owner sees it."""
        return f"row {column + 1}" if self.turned else f"column {letters(column)}"

    def fault(
        self, reason: str, advice: str, *, row: int | None = None, column: int | None = None, words: str = ""
    ) -> Finding:
        """Return what is wrong with a cell, a row, a column or the whole table; ``words`` are its head."""
        head = f' ("{words}")' if words else ""
        if row is None:
            cell = "" if column is None else f"{self.head(column)}{head}"
        else:
            cell = self.line(row) if column is None else f"{self.place(row, column)}{head}"
        return Finding(self.name, (row or 0) + 1, (column or 0) + 1, Level.ERROR, TABLE_RULE, reason, advice, cell)

    def transposed(self) -> Grid:
        """Return the same table with rows and columns exchanged."""
        wrong = {(column, row): why for (row, column), why in self.wrong.items()}
        rows = tuple(zip(*self.rows, strict=True))
        return Grid(self.name, rows, self.remarks, wrong, not self.turned, self.decimal_comma)


def letters(column: int) -> str:
    """Return the letters that a spreadsheet gives a column, which counts from zero.

    >>> letters(0), letters(25), letters(26)
    ('A', 'Z', 'AA')
    """
    text = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _seen(text: str) -> str:
    return "".join(" " if is_control(letter) else letter for letter in text)


def squared(rows: list[list[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the rows all of one length, with single spaces for all that cannot be seen, without empty ends."""
    tidy = [[" ".join(_seen(cell).split()) for cell in row] for row in rows]
    while tidy and not any(tidy[-1]):
        tidy.pop()
    width = max((len(row) for row in tidy), default=0)
    while width and not any(len(row) >= width and row[width - 1] for row in tidy):
        width -= 1
    return tuple(tuple((row + [""] * width)[:width]) for row in tidy)
