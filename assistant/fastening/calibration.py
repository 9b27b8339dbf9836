"""Is the torque tool itself to be trusted: its class, its deviation, its date and its count of uses.

Source of the figures: ISO 6789-1:2017 and ISO 6789:2003, sections 5 and 6, from memory. A wrench that was dropped,
overloaded or is in doubt is checked before its next use, whatever the date (FAA AC 43.13-1B).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.faults import Fault, quoted

INTERVAL_MONTHS = 12
INTERVAL_USES = 5000
_SMALL = Torque(Decimal(10), TorqueUnit.NEWTON_METRE)
_FOUR, _SIX = Decimal(4), Decimal(6)

DEVIATIONS: Mapping[str, tuple[Decimal, Decimal]] = {
    "I A": (_SIX, _SIX),
    "I B": (_SIX, _FOUR),
    "I C": (_SIX, _FOUR),
    "I D": (_SIX, _SIX),
    "I E": (_SIX, _FOUR),
    "II A": (_SIX, _FOUR),
    "II B": (_SIX, _FOUR),
    "II C": (_SIX, _FOUR),
    "II D": (_SIX, _SIX),
    "II E": (_SIX, _SIX),
    "II F": (_SIX, _SIX),
    "II G": (_SIX, _SIX),
}
"""Most deviation [%] by type (I indicating, II setting) and class: for tools up to 10 N·m, and for larger ones."""


def permissible_deviation(kind: str, largest: Torque) -> Decimal | Fault:
    """Return how far a tool may deviate, plus and minus [%].

    ``kind`` [type and class, such as II A] is that of the tool, ``largest`` [any torque unit] the end of its range.

    Formula: table by type and class, split at 10 N·m.

    Source: ISO 6789-1:2017, 5.1.5 (from memory).

    >>> from assistant.fastening.units import parse_torque
    >>> permissible_deviation("II A", parse_torque("200 N·m"))
    Decimal('4')
    """
    row = DEVIATIONS.get(" ".join(kind.upper().split()))
    if row is None:
        return Fault(f"{quoted(kind)} is not a type of torque tool", f"write one of {', '.join(DEVIATIONS)}")
    return row[0] if largest <= _SMALL else row[1]


class DueWhy(StrEnum):
    """Why a tool is due for calibration."""

    UNKNOWN = "unknown"
    """Nobody knows when it was calibrated last."""
    FUTURE = "future"
    """The day of its calibration has not come yet."""
    DATE = "date"
    USES = "uses"


@dataclass(frozen=True, slots=True)
class Due:
    """When a tool is to be calibrated (``on``, None when it never was), and why it is due now, or None.

    ``calibrated`` is the day of its last calibration; ``uses`` are those since then, and ``most_uses`` the interval.
    """

    on: date | None
    because: DueWhy | None = None
    calibrated: date | None = None
    uses: int = 0
    most_uses: int = INTERVAL_USES

    @property
    def why(self) -> str:
        """Return why it is due now, for reading, or ""."""
        match self.because:
            case DueWhy.UNKNOWN:
                return "the date of its last calibration is not known"
            case DueWhy.FUTURE:
                return f"its calibration date {self.calibrated} lies in the future"
            case DueWhy.DATE:
                return f"it was due for calibration on {self.on}"
            case DueWhy.USES:
                return f"it has done {self.uses} of {self.most_uses} uses since its calibration"
        return ""


def calibration_day(at_ms: int) -> date:
    """Return the day of ``at_ms`` [ms since the epoch] by which calibrations are judged: in UTC, everywhere.

    Formula: whole days since 1970.

    Source: ours; a job that is read again in another time zone must judge its tools as it did.

    >>> calibration_day(1_767_225_599_999)
    datetime.date(2025, 12, 31)
    """
    return date(1970, 1, 1) + timedelta(days=at_ms // 86_400_000)


def months_later(day: date, months: int) -> date:
    """Return the same day ``months`` [months] after ``day`` [date], or the last of that month when it is shorter.

    Formula: year and month move on; the day is at most the last of its month.

    Source: ours; as calendars count.

    >>> months_later(date(2024, 2, 29), 12)
    datetime.date(2025, 2, 28)
    """
    month = day.month - 1 + months
    year, month = day.year + month // 12, month % 12 + 1
    for number in range(day.day, 27, -1):
        try:
            return date(year, month, number)
        except ValueError:
            continue
    return date(year, month, day.day)


def calibration_due(
    calibrated: date | None, uses: int, today: date, months: int = INTERVAL_MONTHS, most_uses: int = INTERVAL_USES
) -> Due:
    """Return whether a tool is due for calibration. The date itself counts as due, and so does the last use.

    ``calibrated`` [date] is the last calibration or first use after it, ``uses`` [count] the clicks since then,
    ``today`` [date], ``months`` [months] and ``most_uses`` [count] the interval, whichever is first.

    Formula: due when today >= calibrated + months, or uses >= most_uses.

    Source: ISO 6789-1:2017, 5.3: 12 months or about 5000 cycles (from memory).

    >>> calibration_due(date(2025, 3, 31), 1200, date(2026, 3, 31)).why
    'it was due for calibration on 2026-03-31'
    """
    if calibrated is None:
        return Due(None, DueWhy.UNKNOWN)
    on = months_later(calibrated, months)
    because = None
    if calibrated > today:
        because = DueWhy.FUTURE
    elif today >= on:
        because = DueWhy.DATE
    elif uses >= most_uses:
        because = DueWhy.USES
    return Due(on, because, calibrated, uses, most_uses)
