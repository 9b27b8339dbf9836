"""Which limits of a reading can be spoken: of what size, and with how many decimals, by their unit."""

from __future__ import annotations

from decimal import Decimal

from assistant.events import SlotKind
from assistant.faults import Fault

FINE_UNITS = ("in",)
"""Units that are read off with three decimals: a gauge in inches shows thousandths."""
_MOST = 1000


def most_decimals(unit: str) -> int:
    """Return how many decimals a reading in ``unit`` may have.

    >>> most_decimals("in"), most_decimals("mm")
    (3, 2)
    """
    return (SlotKind.FINE if unit in FINE_UNITS else SlotKind.DECIMAL).decimals


def unspeakable(end: Decimal | None, unit: str) -> Fault | None:
    """Return why a limit [in ``unit``] cannot be spoken as a reading; None when it can, or there is none.

    >>> unspeakable(Decimal("1.031"), "in") is None
    True
    >>> unspeakable(Decimal("1.0315"), "in").advice
    'choose a unit that makes it a number from -999.999 to 999.999 with at most three decimals'
    """
    places = most_decimals(unit)
    if end is None or (abs(end) < _MOST and end == round(end, places)):
        return None
    most = _MOST - Decimal(1).scaleb(-places)
    words = "three" if places == SlotKind.FINE.decimals else "two"
    return Fault(
        f"{end} {unit} cannot be spoken as a reading",
        f"choose a unit that makes it a number from -{most} to {most} with at most {words} decimals",
    )
