"""What and who must be there before the work starts."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Item:
    """A tool, a supply or a spare that must be at hand before the work starts."""

    id: str
    name: str
    quantity: Decimal | None = None
    unit: str = ""
    note: str = ""
    single_use: bool = False
    line: int = 0
    specification: str = ""
    """The grade or the standard that a supply must meet."""
    part_number: str = ""
    """What stands on it as a bar code or a QR code, so that a scan ticks it off."""


@dataclass(frozen=True, slots=True)
class Person:
    """How many people of what kind the work needs."""

    kind: str
    count: int
    line: int = 0
