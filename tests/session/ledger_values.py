"""Values as the strict foreman compares them, apart from the code that made them."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from assistant.fastening.quantities import Angle
from assistant.procedure.steps.tighten import Run

_FACTORS = {"N·m": Fraction(1), "lbf·ft": Fraction("1.3558179483314004"), "lbf·in": Fraction("0.1129848290276167")}
"""Newton metres in one of each: NIST SP 811 (2008), appendix B.8, pound-force foot and inch, to all its digits."""


def in_newton_metres(value: Mapping[str, Any]) -> Fraction:
    """Return a value as a number that can be compared; other units than those of torque stay as they are."""
    return Fraction(str(value["value"])) * _FACTORS.get(value["unit"], Fraction(1))


def verdict_of(reading: Mapping[str, Any], run: Run, tolerance: str | None) -> str | None:
    """Return on which side of the limits of ``run``, or of the ``tolerance`` in percent, a reading lies."""
    if run.low is None and run.high is None and tolerance is None:
        return None
    value = in_newton_metres(reading)
    low, high = (
        None if end is None else in_newton_metres({"value": end.value, "unit": end.unit.value})
        for end in (run.low, run.high)
    )
    if tolerance is not None:
        target = in_newton_metres({"value": run.target.value, "unit": run.target.unit.value})
        off = target * Fraction(tolerance) / 100
        off = max(off, Fraction(2)) if isinstance(run.target, Angle) else off
        low = target - off if low is None else low
        high = target + off if high is None else high
    if low is not None and value < low:
        return "below"
    if high is not None and value > high:
        return "above"
    return "within"
