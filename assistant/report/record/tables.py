"""Readings of a table as they are printed: a line for each row, a column for each reading."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.report.record.model import TableReading


@dataclass(slots=True)
class PrintedTable:
    """One table: the heads of its columns with their limits, and by row what was read off in each column."""

    step: str
    heads: dict[str, str] = field(default_factory=dict)
    rows: dict[str, dict[str, TableReading]] = field(default_factory=dict)


def tables_of(readings: Iterable[TableReading]) -> list[PrintedTable]:
    """Return a table for each step that has readings, in the order in which they come."""
    tables: dict[str, PrintedTable] = {}
    for one in readings:
        table = tables.setdefault(one.step, PrintedTable(one.step))
        head = f"{one.column}, as {one.when}" if one.when else one.column
        table.heads.setdefault(head, one.limits)
        table.rows.setdefault(one.row, {})[head] = one
    return list(tables.values())
