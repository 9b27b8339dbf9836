"""How much was filled in or used up in a step."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.asking import Ask
from assistant.facts.base import Bounds, Quantity
from assistant.facts.steps import StepAnswer


class Filled(StepAnswer, frozen=True, kw_only=True):
    """So much was filled in: ``value`` where ``amount`` was asked for, both in ``unit``, as are the limits."""

    KIND = "filled"
    value: Decimal
    unit: str
    amount: Decimal
    limits: Bounds
    in_limits: bool

    @property
    def is_right(self) -> bool:
        """Whether it is within the limits."""
        return self.in_limits


class AskAmount(Ask, frozen=True):
    """Take an amount that is not as it should be."""

    step: str
    filled: Quantity
