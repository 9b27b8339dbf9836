"""Who answers for a procedure: who approved it, and for which warnings its author does."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Approval:
    """Who approved the procedure, on what day (``YYYY-MM-DD``), and the hash of the content that was approved."""

    by: str
    on: str
    content: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class Waiver:
    """A warning of ``rule`` that the author answers for. ``at`` is the id of the thing that it is about."""

    rule: str
    reason: str
    at: str | None = None
    line: int = 0
