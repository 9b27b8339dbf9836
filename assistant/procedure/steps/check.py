"""A step that looks or measures."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.model import Limits, Step


@dataclass(frozen=True, slots=True)
class CheckStep(Step):
    """Look or measure. With ``limits`` a reading is asked for, otherwise the right answer is ``expect``."""

    expect: bool = True
    limits: Limits | None = None
