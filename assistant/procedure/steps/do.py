"""A step that does something."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class DoStep(Step):
    """Do something, then say next."""


step_format(DoStep, "do", "Do something: the command, as it is spoken.")
