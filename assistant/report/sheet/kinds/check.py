"""A check on paper: a place for the reading, or boxes for yes and no."""

from __future__ import annotations

from assistant.procedure.format.values import written_limits
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.check import CheckStep
from assistant.report.sheet.listed import Listed
from assistant.report.sheet.part import SHEET, SheetKind


def _answer(_: Listed, step: CheckStep) -> str:
    if step.limits is not None:
        return f"Reading __________ {step.limits.unit}   ({written_limits(step.limits)})"
    return f"☐ yes   ☐ no   (must be {'yes' if step.expect else 'no'})"


KINDS.add(CheckStep, SHEET, SheetKind(_answer))
