"""A step that counts fasteners out or in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.procedure.model import Step


class Direction(StrEnum):
    """Fasteners come out or go back in."""

    OUT = "out"
    IN = "in"


@dataclass(frozen=True, slots=True)
class CountStep(Step):
    """Count the fasteners of one group out of the machine or back into it. ``place`` is where they are put down."""

    group: str = ""
    direction: Direction = Direction.OUT
    place: str = ""
