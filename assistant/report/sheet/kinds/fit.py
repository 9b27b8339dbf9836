"""New parts on paper: a place for their number."""

from __future__ import annotations

from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.fit import FitStep
from assistant.report.sheet.part import SHEET, SheetKind

KINDS.add(FitStep, SHEET, SheetKind(lambda _, step: f"New ones fitted __________   (of {step.quantity})"))
