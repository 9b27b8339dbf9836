"""A table of readings on paper: the empty table, to be filled in."""

from __future__ import annotations

from assistant.procedure.format.values import written_limits
from assistant.procedure.kinds import KINDS
from assistant.procedure.rows import TableColumn
from assistant.procedure.steps.measure import MeasureStep
from assistant.report.sheet.listed import Listed
from assistant.report.sheet.part import SHEET, SheetKind, SheetTable


def _head(column: TableColumn) -> tuple[str, str]:
    when = f", as {column.when.value}" if column.when else ""
    return f"{column.name}{when}", written_limits(column.limits)


def _table(_: Listed, step: MeasureStep) -> SheetTable:
    return SheetTable(step.each, tuple(map(_head, step.columns)), tuple(row.name for row in step.rows))


KINDS.add(MeasureStep, SHEET, SheetKind(table=_table))
