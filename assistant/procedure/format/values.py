"""Values as an author writes them in a file: numbers, times, limits and lists of bolts.

Each ``parse_*`` answers with the value or with a fault, which says what is wrong and what to write instead. The text
comes as it was written, so the traps of YAML 1.1 (``yes``, ``1:30`` as base sixty, ``010`` as octal) cannot spring.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from assistant.fastening.quantities import plain
from assistant.fastening.symbols import AMOUNTS, TWO_SIZES, unit_key
from assistant.faults import Fault, quoted
from assistant.procedure.amounts import Amount
from assistant.procedure.model import Limits

MOST_BOLTS = 99
"""Bolts of one group: counts are spoken as whole numbers up to this."""
MOST_BOLT_NUMBER = 999
MOST_SECONDS = 30 * 24 * 3600
"""Thirty days."""


_AMOUNT = re.compile(r"((?:0|[1-9]\d*)(?:\.\d+)?)\s*([^\s\d].*)", re.ASCII)
_AMOUNT_HINT = "write a number and l, ml, kg or g, US gal, US qt, US pt, US fl oz, lb or oz, such as 11 l"
_PLAIN = re.compile(r"-?(?:0|[1-9]\d*)(?:\.\d+)?", re.ASCII)
_NUMBER_TRAPS: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"[+-]?\.?(nan|inf(inity)?)", re.IGNORECASE), "this is no number at all; write it in digits"),
    (re.compile(r"\d+(:\d+)+(\.\d*)?", re.ASCII), "YAML takes this for base sixty; write one decimal number"),
    (re.compile(r"[+-]?0[xob][0-9a-f_]+", re.IGNORECASE), "write it as a decimal number"),
    (re.compile(r"[+-]?0\d+(\.\d*)?", re.ASCII), "YAML may take this for octal; write it without the leading zero"),
    (re.compile(r"[+-]?[\d.]+e[+-]?\d+", re.IGNORECASE | re.ASCII), "write it out in full, without an exponent"),
    (re.compile(r"[+-]?\d+,\d+", re.ASCII), "write the decimals after a point, and no comma between thousands"),
    (re.compile(r"[+-]?\d[\d_ ]*\d(\.\d*)?", re.ASCII), "write the digits without anything between them"),
    (re.compile(r"\+.*", re.DOTALL), "write it without the plus sign"),
    (re.compile(r"-?\.\d+|-?\d+\.", re.ASCII), "write a digit on both sides of the point"),
    (re.compile(r"-?\d.*", re.DOTALL | re.ASCII), "write the number alone"),
)


def parse_number(text: str, low: Decimal, high: Decimal, *, whole: bool = False) -> Decimal | Fault:
    """Read a number [no unit] from ``low`` to ``high``, written in plain decimal digits.

    >>> parse_number("2.50", Decimal(0), Decimal(10)), parse_number("010", Decimal(0), Decimal(10)).sentence
    (Decimal('2.50'), '"010" is not a plain number: YAML may take this for octal; write it without the leading zero')
    """
    stripped = text.strip()
    if len(stripped) > 20:
        return Fault(f"{quoted(text)} is too long for a number here", f"write a number from {low} to {high}")
    if _PLAIN.fullmatch(stripped) is None:
        hint = next((hint for trap, hint in _NUMBER_TRAPS if trap.fullmatch(stripped)), "write it in digits, such as 3")
        return Fault(f"{quoted(text)} is not a plain number", hint)
    value = Decimal(stripped)
    if whole and value != value.to_integral_value():
        return Fault(f"{quoted(text)} is not a whole number", f"write a whole number from {low} to {high}")
    if not low <= value <= high:
        return Fault(f"{quoted(text)} is out of range", f"write a number from {low} to {high}")
    return value


def parse_yes_no(text: str) -> bool | Fault:
    """Read yes or no; true and false are understood as well."""
    word = text.strip().lower()
    if word in {"yes", "true"}:
        return True
    if word in {"no", "false"}:
        return False
    return Fault(f"{quoted(text)} is neither yes nor no", "write yes or no")


_TIME_UNITS = {
    **dict.fromkeys(("s", "sec", "second", "seconds"), 1),
    **dict.fromkeys(("min", "minute", "minutes"), 60),
    **dict.fromkeys(("h", "hour", "hours"), 3600),
    **dict.fromkeys(("d", "day", "days"), 86400),
}
_TIME_HINT = "write for example 90 s, 10 min, 1 h 30 min or 24 h"
_TIME = re.compile(r"(?:\d+(?:\.\d+)?\s*[A-Za-z]+\s*){1,4}", re.ASCII)
_TIME_PART = re.compile(r"(\d+(?:\.\d+)?)\s*([A-Za-z]+)", re.ASCII)


def parse_duration(text: str) -> int | Fault:
    """Read a length of time [s], such as ``90 s``, ``10 min``, ``1 h 30 min`` or ``24 h``.

    >>> parse_duration("1 h 30 min"), parse_duration("1:30").sentence
    (5400, '"1:30" could be minutes or hours: write for example 90 s, 10 min, 1 h 30 min or 24 h')
    """
    stripped = text.strip()
    if ":" in stripped:
        return Fault(f"{quoted(text)} could be minutes or hours", _TIME_HINT)
    if len(stripped) > 40 or _TIME.fullmatch(stripped) is None:
        bare = re.fullmatch(r"[\d.]+", stripped, re.ASCII)
        return Fault(f"{quoted(text)} {'has no unit of time' if bare else 'is not a time'}", _TIME_HINT)
    seconds, last = Decimal(0), 10**9
    for number, unit in _TIME_PART.findall(stripped):
        size = _TIME_UNITS.get(unit)
        if size is None:
            return Fault(f"{quoted(unit)} is not a unit of time", _TIME_HINT)
        if size >= last:
            return Fault(f"{quoted(text)} does not go from large units to small", _TIME_HINT)
        seconds, last = seconds + Decimal(number) * size, size
    if seconds != seconds.to_integral_value() or not 1 <= seconds <= MOST_SECONDS:
        return Fault(f"{quoted(text)} is not a time from 1 s to 30 days in whole seconds", _TIME_HINT)
    return int(seconds)


def parse_date(text: str) -> str | Fault:
    """Read a day of the calendar, written as in ISO 8601: ``YYYY-MM-DD``.

    >>> parse_date("2024-02-29"), parse_date("31.1.2026").sentence
    ('2024-02-29', '"31.1.2026" is not a day of the calendar: write year, month and day, such as 2026-01-31')
    """
    try:
        day = date.fromisoformat(text).isoformat()
    except ValueError:
        day = ""
    if day == text:
        return text
    return Fault(f"{quoted(text)} is not a day of the calendar", "write year, month and day, such as 2026-01-31")


_RANGE = re.compile(r"(\d{1,6})(?:\s*(?:-|–|to)\s*(\d{1,6}))?", re.ASCII)


def parse_bolts(texts: tuple[str, ...]) -> tuple[int, ...] | Fault:
    """Read bolt numbers in their order: each text is ``5``, a range ``1-6`` (or ``6-1``), or some with commas.

    >>> parse_bolts(("3-1", "7, 9")), parse_bolts(("2", "1-3")).sentence
    ((3, 2, 1, 7, 9), 'Bolt 2 stands here twice: write every bolt once')
    """
    bolts: dict[int, None] = {}
    for piece in (piece for text in texts for piece in text.split(",")):
        found = _RANGE.fullmatch(piece.strip())
        if found is None:
            return Fault(f"{quoted(piece.strip())} is not a bolt or a range", "write for example 1-6 or [1, 5, 3]")
        first = int(found[1])
        last = int(found[2] or first)
        if not (1 <= first <= MOST_BOLT_NUMBER and 1 <= last <= MOST_BOLT_NUMBER):
            return Fault(f"{quoted(piece.strip())} is out of range", f"bolts are numbered from 1 to {MOST_BOLT_NUMBER}")
        for bolt in range(first, last + 1) if first <= last else range(first, last - 1, -1):
            if bolt in bolts:
                return Fault(f"Bolt {bolt} stands here twice", "write every bolt once")
            bolts[bolt] = None
        if len(bolts) > MOST_BOLTS:
            return Fault(
                f"These are more than {MOST_BOLTS} bolts", "split the group, counts are spoken up to that number"
            )
    return tuple(bolts)


def bolts_text(bolts: Iterable[int]) -> str:
    """Return bolt numbers in their order, in short; only rising neighbours make a range.

    >>> bolts_text((3, 4, 2, 5, 6, 7, 1))
    '3-4, 2, 5-7, 1'
    """
    runs: list[list[int]] = []
    for bolt in bolts:
        if runs and bolt == runs[-1][-1] + 1:
            runs[-1].append(bolt)
        else:
            runs.append([bolt])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


_VALUE = r"(-?\d{1,12}(?:\.\d{1,12})?)"
_BETWEEN = re.compile(rf"{_VALUE}\s+to\s+{_VALUE}\s*([^\s\d.].*)", re.ASCII)
_ONE_SIDED = re.compile(rf"at (least|most)\s+{_VALUE}\s*([^\s\d.].*)", re.ASCII)
_LIMITS_HINT = "write for example 0.20 to 0.30 mm, at least 2 bar or at most 0.05 mm"


def parse_amount(text: str) -> Amount | Fault:
    """Read an amount: a number above zero and a unit of volume or mass.

    >>> amount = parse_amount("11.5 litres")
    >>> amount.value, amount.unit
    (Decimal('11.5'), 'l')
    """
    found = _AMOUNT.fullmatch(" ".join(text.split())) if len(text) <= 80 else None
    if found is None:
        return Fault(f"{quoted(text)} is not an amount with a unit", _AMOUNT_HINT)
    known, value = unit_key(found[2]), Decimal(found[1])
    if isinstance(known, Fault) and found[2].strip().lower() in TWO_SIZES:
        return known
    if isinstance(known, Fault) or known not in AMOUNTS:
        return Fault(f"{quoted(found[2])} is no unit of an amount", _AMOUNT_HINT)
    if not 0 < value < 1000:
        hint = "write more than 0 and less than 1000, in the unit for that"
        return Fault(f"{quoted(text)} cannot be said back as a number", hint)
    return Amount(value, known)


def written_amount(amount: Amount) -> str:
    """Return an amount as an author writes it."""
    return f"{plain(amount.value)} {amount.unit}"


def parse_limits(text: str) -> Limits | Fault:
    """Read the limits of a reading: ``LOW to HIGH UNIT``, ``at least LOW UNIT`` or ``at most HIGH UNIT``.

    >>> limits = parse_limits("0.20 to 0.30 mm")
    >>> limits.low, limits.high, limits.unit
    (Decimal('0.20'), Decimal('0.30'), 'mm')
    """
    stripped = " ".join(text.split()) if len(text) <= 80 else ""
    between, one_sided = _BETWEEN.fullmatch(stripped), _ONE_SIDED.fullmatch(stripped)
    low: Decimal | None = None
    high: Decimal | None = None
    if between:
        low, high, unit = Decimal(between[1]), Decimal(between[2]), between[3]
        if low > high:
            return Fault(f"{quoted(text)} has its higher end first", _LIMITS_HINT)
    elif one_sided:
        unit = one_sided[3]
        low, high = (Decimal(one_sided[2]), None) if one_sided[1] == "least" else (None, Decimal(one_sided[2]))
    else:
        return Fault(f"{quoted(text)} is not a pair of limits with a unit", _LIMITS_HINT)
    known = unit_key(unit)
    return known if isinstance(known, Fault) else _said_in_thou(Limits(low, high, known))


def _said_in_thou(limits: Limits) -> Limits:
    """Return limits in inches that are finer than hundredths in thousandths of an inch, as the trade says them.

    From one inch on they stay inches, and are said and read off with three decimals.

    >>> said = parse_limits("0.008 to 0.0125 in")
    >>> str(said.low), str(said.high), said.unit
    ('8', '12.5', 'thou')
    >>> said = parse_limits("1.031 to 1.035 in")
    >>> str(said.low), str(said.high), said.unit
    ('1.031', '1.035', 'in')
    """
    ends = (limits.low, limits.high)
    if limits.unit != "in" or all(end is None or end == round(end, 2) for end in ends):
        return limits
    if any(end is not None and abs(end) >= 1 for end in ends):
        return limits
    low, high = (None if end is None else Decimal(plain((end * 1000).normalize())) for end in ends)
    return Limits(low, high, "thou")


def written_limits(limits: Limits) -> str:
    """Return limits of a reading as an author writes them."""
    if limits.low is not None and limits.high is not None:
        return f"{plain(limits.low)} to {plain(limits.high)} {limits.unit}"
    if limits.low is not None:
        return f"at least {plain(limits.low)} {limits.unit}"
    return f"at most {plain(limits.high or Decimal(0))} {limits.unit}"


def written_duration(seconds: int) -> str:
    """Return a length of time [s] as an author writes it.

    >>> written_duration(5400), written_duration(90), written_duration(86400)
    ('1 h 30 min', '1 min 30 s', '1 d')
    """
    parts = []
    for name, size in (("d", 86400), ("h", 3600), ("min", 60), ("s", 1)):
        count, seconds = divmod(seconds, size)
        if count:
            parts.append(f"{count} {name}")
    return " ".join(parts)
