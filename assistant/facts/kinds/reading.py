"""What the steps share in which a value is read off."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.asking import Ask
from assistant.facts.base import Quantity


class AskReading(Ask, frozen=True):
    """Take a reading out of limits."""

    step: str
    reading: Quantity


class AskUnsureReading(Ask, frozen=True):
    """Was a reading within limits heard right."""

    step: str
    reading: Quantity


class AskHeardNumber(Ask, frozen=True):
    """Was the number of ``intent`` heard right, which sounds like another that can be; a count has no ``unit``."""

    step: str
    intent: str
    number: Decimal
    unit: str
