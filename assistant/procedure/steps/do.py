"""A step that does something."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step, Traits


@dataclass(frozen=True, slots=True)
class DoStep(Step):
    """Do something, then say next."""

    traits: ClassVar[Traits] = Traits(takes_off=True, puts_on=True, handles=True, may_turn=True)


step_format(DoStep, "do", "Do something: the command, as it is spoken.")
