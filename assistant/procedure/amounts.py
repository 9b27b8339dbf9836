"""How much is filled in or used up at a step."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of something; ``unit`` is a key of the units that can be spoken."""

    value: Decimal
    unit: str
