"""When the work of a procedure is due again: after a distance, after hours of running, or after months."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from assistant.fastening.quantities import plain
from assistant.faults import Fault, quoted
from assistant.procedure.model import Interval

_HINT = "write for example 60000 km, 48 months, with a comma between what comes first"
_PART = re.compile(r"(\d{1,7}(?:\.\d{1,3})?)\s*([a-z]+)")
_UNITS: Mapping[str, tuple[str, int]] = {
    "km": ("km", 1),
    "mi": ("mi", 1),
    "mile": ("mi", 1),
    "miles": ("mi", 1),
    "h": ("hours", 1),
    "hour": ("hours", 1),
    "hours": ("hours", 1),
    "month": ("months", 1),
    "months": ("months", 1),
    "year": ("months", 12),
    "years": ("months", 12),
}
MOST_MONTHS = 1200


def parse_interval(text: str) -> Interval | Fault:
    """Read an interval such as ``60000 km, 48 months``: distance [km or mi], hours, months or years."""
    found: dict[str, Decimal] = {}
    for part in text.lower().split(","):
        match = _PART.fullmatch(part.strip())
        if match is None or match[2] not in _UNITS:
            return Fault(f"{quoted(part.strip())} is no interval", _HINT)
        unit, times = _UNITS[match[2]]
        number = Decimal(match[1]) * times
        kind = "distance" if unit in ("km", "mi") else unit
        if any(("distance" if one in ("km", "mi") else one) == kind for one in found):
            return Fault(f"{quoted(text)} has two intervals of one kind", "leave one out")
        if number <= 0:
            return Fault(f"{quoted(part.strip())} is no interval, since it is nothing", _HINT)
        found[unit] = number
    months = found.get("months")
    if months is not None and (months != int(months) or months > MOST_MONTHS):
        return Fault(f"{quoted(text)} has no whole months up to {MOST_MONTHS}", _HINT)
    unit = "mi" if "mi" in found else "km"
    return Interval(found.get(unit), unit, found.get("hours"), None if months is None else int(months))


def written_interval(interval: Interval) -> str:
    """Return an interval as an author writes it.

    >>> written_interval(Interval(Decimal(60000), "km", None, 48))
    '60000 km, 48 months'
    """
    parts = ((interval.distance, interval.unit), (interval.hours, "hours"), (interval.months, "months"))
    return ", ".join(f"{plain(Decimal(number))} {unit}" for number, unit in parts if number is not None)
