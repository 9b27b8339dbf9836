"""Writes the tables of the office as CSV or Parquet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal

from assistant.central.link import CentralLink
from assistant.office.parquet import parquet_file
from assistant.office.tables import TABLE_FORMS, CellKind, TableCell, table_rows
from assistant.visible import cell

EXPORT_FORMS = ("csv", "parquet")


def exported(link: CentralLink, what: str, form: str) -> bytes:
    """Return the table ``what`` (one of :data:`assistant.office.tables.TABLE_FORMS`) as a file of ``form``.

    Raises:
        CentralFault: the store cannot be reached, or refuses.
        Refusal: what writes Parquet is not installed.
    """
    columns, rows = TABLE_FORMS[what].columns, table_rows(link, what)
    return parquet_file(columns, rows) if form == "parquet" else _csv_file(columns, rows)


def _csv_file(columns: Mapping[str, CellKind], rows: Iterable[Sequence[TableCell]]) -> bytes:
    """Return the file (RFC 4180), UTF-8; a text that a spreadsheet would take for a formula has a quote before it."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(columns)
    writer.writerows([_as_text(one) for one in row] for row in rows)
    return file.getvalue().encode("utf-8", "replace")


def _as_text(value: TableCell) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case datetime():
            return value.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        case Decimal():
            return f"{value:f}"
        case int():
            return str(value)
    return cell(value)
