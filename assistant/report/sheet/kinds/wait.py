"""A wait on paper: when it began, and when it is over."""

from __future__ import annotations

from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.wait import WaitStep
from assistant.report.sheet.part import SHEET, SheetKind

KINDS.add(WaitStep, SHEET, SheetKind(lambda listed, step: listed.clock(step.timer)))
