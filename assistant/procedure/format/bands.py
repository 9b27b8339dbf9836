"""Limits of a target as an author writes them."""

from __future__ import annotations

import re
from decimal import Decimal

from assistant.fastening.quantities import Angle, Torque, plain
from assistant.fastening.units import parse_angle, parse_torque
from assistant.faults import Fault, quoted

Band = tuple[Torque | Angle | None, Torque | Angle | None]
"""The lower and the higher limit of a target; None where there is none."""
_VALUE = r"(\d{1,12}(?:\.\d{1,12})?)"
_BETWEEN = re.compile(rf"{_VALUE}\s*([^\s\d]\S*)?\s+to\s+{_VALUE}\s*([^\s\d].*)", re.ASCII)
_ONE_SIDED = re.compile(rf"at (least|most)\s+{_VALUE}\s*([^\s\d].*)", re.ASCII)
_TOLERANCE = re.compile(rf"(?:±|\+/-)\s*{_VALUE}\s*([^\s\d].*)", re.ASCII)
_HINT = "write for example 38 to 42 N·m, at least 38 N·m, ± 2 N·m or ± 5 %"


def parse_band(text: str, target: Torque | Angle) -> Band | Fault:
    """Read limits of ``target``: ``LOW to HIGH UNIT``, ``at least LOW UNIT``, ``at most HIGH UNIT``, ``± VALUE UNIT``.

    A tolerance may be in percent too.

    >>> [str(end) for end in parse_band("± 5 %", parse_torque("40 N·m"))]
    ['38.00 N·m', '42.00 N·m']
    """
    line = " ".join(text.split()) if len(text) <= 80 else ""
    if found := _TOLERANCE.fullmatch(line):
        return _around(found[1], found[2].strip(), target)
    if found := _BETWEEN.fullmatch(line):
        low, high = _like(target, f"{found[1]} {found[2] or found[4]}"), _like(target, f"{found[3]} {found[4]}")
        if not isinstance(low, Fault) and not isinstance(high, Fault) and low.size > high.size:
            return Fault(f"{quoted(text)} has its higher end first", _HINT)
        return low if isinstance(low, Fault) else high if isinstance(high, Fault) else (low, high)
    if found := _ONE_SIDED.fullmatch(line):
        end = _like(target, f"{found[2]} {found[3]}")
        return end if isinstance(end, Fault) else (end, None) if found[1] == "least" else (None, end)
    return Fault(f"{quoted(text)} is not a pair of limits with a unit", _HINT)


def written_band(low: Torque | Angle | None, high: Torque | Angle | None) -> str:
    """Return limits of one unit as an author writes them; empty when there are none.

    >>> written_band(parse_torque("38 N·m"), parse_torque("42 N·m"))
    '38 to 42 N·m'
    """
    if low is None or high is None:
        return f"at least {low}" if low is not None else f"at most {high}" if high is not None else ""
    return f"{plain(low.value)} to {high}"


def _like(target: Torque | Angle, text: str) -> Torque | Angle | Fault:
    """Read a value of the kind of ``target``."""
    return parse_torque(text) if isinstance(target, Torque) else parse_angle(text)


def _around(number: str, unit: str, target: Torque | Angle) -> Band | Fault:
    """Return the limits of a tolerance; the lower one must still be more than zero."""
    if unit == "%":
        share = Decimal(number) / 100
        low, high = target * (1 - share), target * (1 + share)
    elif isinstance(target, Torque):
        reach = parse_torque(f"{number} {unit}")
        if isinstance(reach, Fault):
            return reach
        low, high = target - reach, target + reach
    else:
        turn = parse_angle(f"{number} {unit}")
        if isinstance(turn, Fault):
            return turn
        low, high = target - turn, target + turn
    if low.value <= 0 or low == high:
        return Fault(f"A tolerance of {number} {unit} leaves nothing of {target}", _HINT)
    return low, high
