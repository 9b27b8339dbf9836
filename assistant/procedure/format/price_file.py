"""From the price list of a workshop, a CSV file, to its lines, or to findings that say what to mend.

``docs/quote.md`` has the columns. The file is taken as it was written or not at all: nothing in it is guessed.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

from assistant.advice.money import Currency, currency_of
from assistant.advice.prices import TAXED, PriceKind, PriceLine, PriceList, finding_words
from assistant.faults import Fault, quoted
from assistant.procedure.findings import At, Finding, Findings
from assistant.procedure.format.source import decode, read_bytes

PRICE_RULE = "price-list"
"""The rule of every complaint about what stands in a price list; its heading is in ``docs/quote.md``."""
PRICE_COLUMNS = ("kind", "id", "name", "unit", "price", "to", "currency", "number", "in stock", "lies on", "findings")
MOST_LINES = 10_000
_LONGEST_CELL = 200
_MUST = ("kind", "price", "currency")
_PARTERS = (";", "\t", ",")
_ARCHIVE = b"PK\x03\x04"
_PRICE = re.compile(r"(\d{1,9})(?:([.,])(\d{1,6}))?", re.ASCII)
_FORMULA = tuple("=+-@")
_HOURS = ("h", "hour", "hours")
_ALL = "all"


@dataclass(frozen=True, slots=True)
class PriceReading:
    """What came of reading a price list: the list, unless there is a finding."""

    prices: PriceList | None
    findings: tuple[Finding, ...] = ()


def read_price_file(path: Path) -> PriceReading:
    """Read the price list at ``path``; a file that cannot be read is a finding too."""
    findings = Findings(str(path), "price list")
    data = read_bytes(path, findings)
    return PriceReading(None, findings.result()) if data is None else _read(data, path.name, findings)


def read_prices(data: bytes, name: str) -> PriceReading:
    """Read the bytes of a price list; ``name`` is the file that findings point to."""
    return _read(data, name, Findings(name, "price list"))


def _read(data: bytes, name: str, findings: Findings) -> PriceReading:
    if data.startswith(_ARCHIVE):
        findings.add(At(), PRICE_RULE, "This is a workbook", "save its table as CSV, in UTF-8")
    text = None if findings.count else decode(data, findings)
    prices = None if text is None else _Table(text, findings).read(name, sha256(data).hexdigest())
    return PriceReading(None if findings.count else prices, findings.result())


class _Table:
    """The rows of one file while they are read."""

    def __init__(self, text: str, findings: Findings) -> None:
        self._findings = findings
        lines = text.splitlines(keepends=True)
        above = 0
        while above < len(lines) and (not lines[above].strip() or lines[above].lstrip('" \t').startswith("#")):
            above += 1
        said = (line.strip().strip('"').lstrip("# \t").rstrip(";, \t\r\n") for line in lines[:above])
        self._remarks = tuple(line for line in said if line)
        self._above = above
        self._head = lines[above] if above < len(lines) else ""
        self._rest = "".join(lines[above:])
        self._parter = next((mark for mark in _PARTERS if "kind" in self._names(mark)), "")
        self._seen: dict[tuple[PriceKind, str, str], int] = {}
        self._currency: Currency | None = None
        self._made: list[PriceLine] = []

    def _names(self, parter: str) -> list[str]:
        return [cell.strip().strip('"').strip().casefold() for cell in self._head.split(parter)]

    def read(self, name: str, digest: str) -> PriceList | None:
        if not self._parter:
            reason = "There is no head with the names of the columns"
            self._complain(self._above + 1, 0, reason, f"begin with a line of: {', '.join(PRICE_COLUMNS)}")
            return None
        names = self._names(self._parter)
        if not self._head_is_right(names):
            return None
        reader = csv.reader(io.StringIO(self._rest, newline=""), delimiter=self._parter, strict=True)
        line = self._above + 1
        try:
            for row in reader:
                if line > self._above + 1 and any(cell.strip() for cell in row):
                    self._row(line, names, [cell.strip() for cell in row])
                line = self._above + reader.line_num + 1
                if len(self._made) > MOST_LINES:
                    self._complain(line, 0, f"There are more than {MOST_LINES} lines", "no workshop needs more")
                    return None
        except csv.Error as fault:
            self._complain(self._above + reader.line_num, 0, f"The cells cannot be told apart ({fault})",
                           "close every quotation mark")  # fmt: skip
            return None
        self._look_at_ids()
        if self._currency is None:
            if not self._findings.count:
                self._complain(self._above + 1, 0, "There is no price in the list", "write a line for each thing")
            return None
        return PriceList(name, self._currency, tuple(self._made), self._remarks, digest)

    def _complain(self, line: int, column: int, reason: str, advice: str) -> None:
        self._findings.add(At(line, column + 1), PRICE_RULE, reason, advice)

    def _head_is_right(self, names: Sequence[str]) -> bool:
        known = self._findings.count
        for place, name in enumerate(names):
            if name not in PRICE_COLUMNS:
                hint = self._findings.suggest(name, PRICE_COLUMNS) if name else "give it one, or delete it"
                self._complain(self._above + 1, place, f"The column {quoted(name)} is not known", hint)
            elif name in names[:place]:
                self._complain(self._above + 1, place, f"The column {quoted(name)} is there twice", "keep one")
        for name in _MUST:
            if name not in names:
                self._complain(self._above + 1, 0, f'There is no column "{name}"', "add it")
        if "id" not in names and "name" not in names:
            self._complain(self._above + 1, 0, 'There is neither a column "id" nor "name"', "add one of them")
        return self._findings.count == known

    def _row(self, line: int, names: Sequence[str], row: Sequence[str]) -> None:
        known = self._findings.count
        if len(row) != len(names):
            self._complain(line, len(row), f"The line has {len(row)} cells and the head {len(names)}",
                           "write a cell for each column, and quotation marks around one that parts")  # fmt: skip
            return
        for place, cell in enumerate(row):
            if len(cell) > _LONGEST_CELL:
                self._complain(line, place, f"The cell has {len(cell)} letters", f"write at most {_LONGEST_CELL}")
            elif cell.startswith(_FORMULA):
                self._complain(line, place, f"{quoted(cell)} begins like a formula", "write the value itself")
            elif "\n" in cell or "\r" in cell or "\t" in cell:
                self._complain(line, place, "The cell has more than one line", "write it in one")
        if self._findings.count == known:
            made = _Row(self, line, dict(zip(names, row, strict=True)), {name: at for at, name in enumerate(names)})
            found = made.line()
            if self._findings.count == known and found is not None:
                self._made.append(found)

    def _look_at_ids(self) -> None:
        ids = {line.id for line in self._made if line.kind is not PriceKind.TAX}
        for line in self._made:
            for wanted in line.on_ids:
                if wanted not in ids:
                    self._complain(line.line, 0, f"This lies on {quoted(wanted)}, which is no line of the list",
                                   f"write {', '.join(TAXED)}, {_ALL}, or the id of a line")  # fmt: skip

    def currency(self, text: str, row: _Row) -> None:
        """Take the currency of a line: the same one as above it."""
        found = currency_of(text)
        if isinstance(found, Fault):
            row.complain("currency", found.reason, found.advice)
        elif self._currency is not None and found.code != self._currency.code:
            reason = f"The price is in {found.code} and those above it are in {self._currency.code}"
            row.complain("currency", reason, "write one list for each currency")
        else:
            self._currency = found

    def once(self, kind: PriceKind, id_: str, name: str, row: _Row) -> None:
        """Complain about a second line for one thing."""
        first = self._seen.setdefault((kind, id_, name.casefold()), row.number)
        if first != row.number:
            reason = f"{quoted(id_ or name)} has a price as {kind} in line {first} already"
            row.complain("id" if id_ else "name", reason, "keep one of the lines")

    def complain(self, line: int, column: int, reason: str, advice: str) -> None:
        """Add a finding at a cell."""
        self._complain(line, column, reason, advice)

    @property
    def commas(self) -> bool:
        """Whether a comma parts decimals, since it does not part cells."""
        return self._parter != ","


@dataclass(frozen=True, slots=True)
class _Row:
    """One line: its cells by the name of their column, and where each stands."""

    table: _Table
    number: int
    cells: Mapping[str, str]
    places: Mapping[str, int]

    def complain(self, column: str, reason: str, advice: str) -> None:
        self.table.complain(self.number, self.places.get(column, 0), reason, advice)

    def _cell(self, column: str) -> str:
        return self.cells.get(column, "")

    def line(self) -> PriceLine | None:
        kinds = {kind.value: kind for kind in PriceKind}
        kind = kinds.get(self._cell("kind").casefold())
        if kind is None:
            self.complain("kind", f"{quoted(self._cell('kind'))} is no kind", f"write one of {', '.join(kinds)}")
            return None
        id_, name, unit = self._cell("id"), self._cell("name"), self._cell("unit")
        if not id_ and not name:
            self.complain("id", "The line says not what it is for", "write the id or the name in the procedure")
        self.table.once(kind, id_, name, self)
        price = self._number("price")
        high = self._number("to") if self._cell("to") else price
        if price is None or high is None:
            return None
        if high < price:
            self.complain("to", f"The price ends at {high} and begins at {price}", "write the lower one first")
        if kind is PriceKind.TAX:
            unit = self._tax(price, high)
        elif kind is PriceKind.LABOUR and unit.casefold() not in _HOURS:
            self.complain("unit", f"Work is priced by {quoted(unit)}", "write what an hour costs, with the unit h")
        if kind is not PriceKind.TAX or self._cell("currency"):
            self.table.currency(self._cell("currency"), self)
        stock = self._number("in stock") if self._cell("in stock") else None
        if stock is not None and kind not in (PriceKind.PART, PriceKind.SUPPLY):
            self.complain("in stock", f"There is no stock of {kind}", "leave the cell empty")
        kinds_on, ids_on = self._lies_on(kind)
        return PriceLine(
            kind, id_, name, unit, price, high, stock, self._cell("number"), kinds_on, ids_on, self._findings(kind),
            self.number,
        )  # fmt: skip

    def _findings(self, kind: PriceKind) -> tuple[str, ...]:
        """Return the words of findings that are priced by this line: a single word would fit too much."""
        found = tuple(words for cell in self._cell("findings").split("|") if (words := finding_words(cell)))
        if found and kind not in (PriceKind.PART, PriceKind.LABOUR, PriceKind.OTHER):
            self.complain("findings", f"A {kind} prices no finding", "leave the cell empty")
        for words in found:
            if " " not in words:
                hint = "write two words or more that stand in the finding, such as seal weeps"
                self.complain("findings", f"{quoted(words)} is one word, which would fit too many findings", hint)
        return found

    def _tax(self, rate: Decimal, high: Decimal) -> str:
        if self._cell("unit") not in ("%", "percent"):
            self.complain("unit", "A tax is a rate in percent", "write % as its unit")
        if high != rate:
            self.complain("to", "A tax has one rate", "leave the cell empty")
        if rate > 100:
            self.complain("price", f"A tax of {rate} % cannot be", "write a rate of at most 100")
        return "%"

    def _lies_on(self, kind: PriceKind) -> tuple[tuple[PriceKind, ...], tuple[str, ...]]:
        words = self._cell("lies on").split()
        if kind is PriceKind.TAX and not words:
            self.complain("lies on", "A tax lies on something", f"write {', '.join(TAXED)} or {_ALL}")
        if words and kind not in (PriceKind.TAX, PriceKind.OTHER):
            self.complain("lies on", f"A {kind} lies on nothing", "leave the cell empty")
        kinds = TAXED if _ALL in words else tuple(one for one in TAXED if one.value in words)
        return kinds, tuple(word for word in words if word not in (_ALL, *(one.value for one in TAXED)))

    def _number(self, column: str) -> Decimal | None:
        """Return an amount of at most nine digits and six decimals; None where it is none, which is told."""
        text = self._cell(column)
        match = _PRICE.fullmatch(text)
        if match is None:
            self.complain(column, f"{quoted(text)} is no amount", "write digits with a point, such as 1234.50")
            return None
        whole, mark, rest = match.groups()
        if mark == "," and not self.table.commas:
            hint = "write a point, or part the cells with semicolons"
            self.complain(column, f"{quoted(text)} has a comma, which parts cells in this file", hint)
            return None
        if mark == "." and self.table.commas and len(rest) == 3:
            self.complain(column, f"{quoted(text)} can be a thousand times more or less",
                          f"write {whole}{rest}, or {whole},{rest}")  # fmt: skip
            return None
        return Decimal(f"{whole}.{rest}" if rest else whole)
