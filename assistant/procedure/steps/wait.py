"""A step that waits for a timer."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class WaitStep(Step):
    """Wait for a timer (cure, cool down)."""

    timer: str = ""
