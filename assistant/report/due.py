"""When work is due again: dates, distances and hours. Pure: the day of today is passed in.

Dates follow XML Schema Part 2, appendix E: months are added to the anchor, and a day that the month does not have
becomes its last day. (RFC 5545 recurrence would leave such a month out.) Distances are exact: kilometres as fractions.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from assistant.fastening.calibration import months_later
from assistant.procedure.model import Interval

KM_PER_MILE = Fraction(1_609_344, 1_000_000)
"""1 mi = 1.609344 km exactly (international yard and pound agreement of 1959)."""
LEAST_DAYS = 7
"""Readings closer together than this tell no rate."""
_METER = re.compile(r"\s*(\d{1,8}(?:\.\d{1,2})?)\s*(km|mi|h)\s*", re.IGNORECASE | re.ASCII)


class DueState(StrEnum):
    """How urgent it is. Due is the day or the distance itself and behind it; overdue is past it."""

    OVERDUE = "overdue"
    DUE = "due"
    COMING = "coming"
    LATER = "later"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Meter:
    """A reading of an odometer [km or mi] or of an hour meter [h]."""

    value: Decimal
    unit: str

    @property
    def size(self) -> Fraction:
        """Return the reading [km or h]."""
        return Fraction(self.value) * (KM_PER_MILE if self.unit == "mi" else 1)

    @property
    def is_hours(self) -> bool:
        """Return whether it counts hours."""
        return self.unit == "h"

    def __str__(self) -> str:
        return f"{self.value:,} {self.unit}".replace(",", " ")


@dataclass(frozen=True, slots=True)
class Seen:
    """A reading on a day; ``restart`` when it was said to be right although it is lower than the one before."""

    on: date
    meter: Meter
    restart: bool = False


@dataclass(frozen=True, slots=True)
class Next:
    """When something is due next, by what, and how urgent that is.

    ``on`` is the earlier of ``by_time`` and ``by_use``, which is projected; ``at`` is the reading at which it is due.
    """

    state: DueState
    on: date | None
    by_time: date | None
    by_use: date | None
    at: Meter | None
    why: str


def parse_meter(text: str) -> Meter | str:
    """Read ``123456km``, ``80000 mi`` or ``1234.5 h``; a sentence when it is none of these."""
    found = _METER.fullmatch(text)
    if found is None:
        return f'"{text}" is no reading of a meter; write for example 123456km, 80000mi or 1234.5h.'
    return Meter(Decimal(found[1]), found[2].lower())


def rate_per_day(seen: Sequence[Seen]) -> Fraction | None:
    """Return how much a meter runs in a day [km or h], or None where that cannot be said.

    ``seen`` are its readings in the order of days. Only those behind the last restart count; one reading, less than a
    week, or a meter that did not move tells no rate.

    Formula: (last − first) ÷ days between them.
    """
    since = max((place for place, one in enumerate(seen) if one.restart), default=0)
    kept = seen[since:]
    if len(kept) < 2:
        return None
    days = (kept[-1].on - kept[0].on).days
    way = kept[-1].meter.size - kept[0].meter.size
    return way / days if days >= LEAST_DAYS and way > 0 else None


def next_due(
    interval: Interval, done_on: date, done_at: Meter | None, seen: Sequence[Seen], today: date, within_days: int
) -> Next:
    """Return when work with ``interval`` is due after it was ``done_on`` a day, with the meter at ``done_at``.

    ``seen`` are the readings of the machine's meter, in the order of days. It is coming when it is due in
    ``within_days`` [days] or less.
    """
    by_time = months_later(done_on, interval.months) if interval.months is not None else None
    limit = _limit(interval, done_at)
    by_use, reached, past, why = None, False, False, ""
    readings = [one for one in seen if done_at is None or one.meter.is_hours == done_at.is_hours]
    if (interval.distance is not None or interval.hours is not None) and limit is None:
        why = "no reading was given with the job"
    elif limit is not None and any(one.restart and one.on >= done_on for one in readings):
        why, limit = "the meter was lower than before since then", None
    elif limit is not None and readings:
        last = readings[-1]
        reached, past = last.meter.size >= limit.size, last.meter.size > limit.size
        rate = rate_per_day(readings)
        if reached:
            by_use = last.on
        elif rate is None:
            why = "too few readings for a forecast"
        else:
            by_use = last.on + timedelta(days=(limit.size - last.meter.size) // rate)
    days = [day for day in (by_time, by_use) if day is not None]
    on = min(days, default=None)
    if past or (by_time is not None and today > by_time):
        state = DueState.OVERDUE
    elif reached or (by_time is not None and today >= by_time) or (by_use is not None and today > by_use):
        state = DueState.DUE
    elif on is None:
        state = DueState.UNKNOWN
    else:
        state = DueState.COMING if on <= today + timedelta(days=within_days) else DueState.LATER
    return Next(state, on, by_time, by_use, limit, why)


def _limit(interval: Interval, done_at: Meter | None) -> Meter | None:
    """Return the reading at which the work is due, in the unit of the machine's meter."""
    if done_at is None:
        return None
    if done_at.is_hours:
        return None if interval.hours is None else Meter(done_at.value + interval.hours, "h")
    if interval.distance is None:
        return None
    way = Fraction(interval.distance) * (KM_PER_MILE if interval.unit == "mi" else 1)
    if done_at.unit == "mi":
        way /= KM_PER_MILE
    return Meter(done_at.value + (Decimal(way.numerator) / way.denominator).quantize(Decimal(1)), done_at.unit)


def due_in_words(interval: Interval) -> str:
    """Return an interval as it is printed."""
    parts = []
    if interval.distance is not None:
        parts.append(str(Meter(interval.distance, interval.unit)))
    if interval.hours is not None:
        parts.append(str(Meter(interval.hours, "h")))
    if interval.months is not None:
        parts.append(f"{interval.months} months")
    return " or ".join(parts)
