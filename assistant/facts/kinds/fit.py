"""New parts that are fitted."""

from __future__ import annotations

from assistant.facts.steps import StepAnswer


class PartFitted(StepAnswer, frozen=True, kw_only=True):
    """New parts were fitted: so many of the spare."""

    KIND = "part_fitted"
    spare: str
    count: int
    expected: int

    @property
    def is_right(self) -> bool:
        """Whether it is the number that is expected."""
        return self.count == self.expected
