"""A step that waits for a timer."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.format.forms import refers
from assistant.procedure.format.records import must
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class WaitStep(Step):
    """Wait for a timer (cure, cool down)."""

    timer: str = ""

    @property
    def waits_for(self) -> str:
        """Return the timer."""
        return self.timer


step_format(
    WaitStep,
    "wait",
    "Wait: the command, as it is spoken.",
    must("timer", refers("timer"), "Id of the cure or cool timer that is waited for."),
)
