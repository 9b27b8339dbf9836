"""A step that does something."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class DoStep(Step):
    """Do something, then say next."""
