"""What is answered, or read off, in a step that looks or measures."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.asking import Ask
from assistant.facts.base import Bounds
from assistant.facts.steps import StepAnswer


class CheckAnswered(StepAnswer, frozen=True, kw_only=True):
    """A check was answered with yes or no."""

    KIND = "check_answered"
    yes: bool
    expected: bool

    @property
    def is_right(self) -> bool:
        """Whether it is the answer that is expected."""
        return self.yes is self.expected


class ReadOff(StepAnswer, frozen=True, kw_only=True):
    """A value was read off in a check; the limits are those in its unit."""

    KIND = "reading"
    value: Decimal
    unit: str
    limits: Bounds
    in_limits: bool

    @property
    def is_right(self) -> bool:
        """Whether it is within the limits."""
        return self.in_limits


class AskAnswer(Ask, frozen=True):
    """Take an answer that is not the right one."""

    step: str
    yes: bool
