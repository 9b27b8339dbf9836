"""Fasteners that are counted out or in."""

from __future__ import annotations

from assistant.facts.codes import Direction
from assistant.facts.steps import StepAnswer


class Counted(StepAnswer, frozen=True, kw_only=True):
    """Fasteners of a group were counted."""

    KIND = "counted"
    group: str
    direction: Direction
    count: int
    expected: int

    @property
    def is_right(self) -> bool:
        """Whether it is the number that is expected."""
        return self.count == self.expected
