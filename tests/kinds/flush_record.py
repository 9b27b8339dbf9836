"""What is printed of the step: in the record, and on the work sheet."""

from __future__ import annotations

from assistant.procedure.kinds import KINDS
from assistant.report.record.printing import Names, prints
from assistant.report.sheet.part import SHEET, SheetKind
from tests.kinds.flush_session import Flushed
from tests.kinds.flush_step import FlushStep


@prints(Flushed)
def _flushed(fact: Flushed, _: Names) -> str:
    little = "" if fact.is_right else ": TOO LITTLE"
    return f"flushed with {fact.litres} l of {fact.least} l{little}"


def attach() -> None:
    """Make the step known to the work sheet."""
    KINDS.add(FlushStep, SHEET, SheetKind(lambda _, step: f"Litres __________   (at least {step.litres})"))
