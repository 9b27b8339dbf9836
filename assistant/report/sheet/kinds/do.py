"""A step that does something on paper: a place for the amount that was really filled in."""

from __future__ import annotations

from assistant.procedure.format.values import written_amount
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.do import DoStep
from assistant.report.sheet.listed import Listed
from assistant.report.sheet.part import SHEET, SheetKind


def _answer(_: Listed, step: DoStep) -> str:
    if step.amount is None:
        return ""
    return f"Filled in __________ {step.amount.unit}   (must be {written_amount(step.amount)})"


KINDS.add(DoStep, SHEET, SheetKind(_answer))
