"""How far a reading of a gauge may be off, where nothing says it, and how far what is worked out of several."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from assistant.advice.thickness import GRAINS, length_grains
from assistant.fastening.quantities import LengthUnit
from assistant.fastening.units import parse_length
from assistant.faults import Fault, quoted

_ASSUMED = {
    LengthUnit.MILLIMETRE: GRAINS[LengthUnit.MILLIMETRE] // 100,
    LengthUnit.INCH: GRAINS[LengthUnit.INCH] // 2000,
}
"""Assumed uncertainty [grains] of a feeler gauge, in the unit of its leaves: 0.01 mm or 0.0005 in, half to a whole step
between two leaves; common practice, no source."""
_FINE = 10**6
"""A combined uncertainty is rounded down to this part of its unit."""
_MOST = GRAINS[LengthUnit.MILLIMETRE]


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """An expanded uncertainty U of a reading, in ``grains``, and ``how`` it is known.

    Source of the term: JCGM 100:2008 (GUM), 6.2 (from memory).
    """

    grains: int
    how: str


def gauge_uncertainty(text: str, unit: LengthUnit) -> Uncertainty | Fault:
    """Return the uncertainty that ``text`` [length] gives, or the assumed one of a feeler gauge read in ``unit``.

    >>> gauge_uncertainty("", LengthUnit.MILLIMETRE).grains, gauge_uncertainty("0.02 mm", LengthUnit.MILLIMETRE).grains
    (500, 1000)
    """
    if not text:
        return Uncertainty(_ASSUMED[unit], "assumed (common practice, no source)")
    length = parse_length(text)
    grains = length if isinstance(length, Fault) else length_grains(length)
    if isinstance(grains, Fault):
        return grains
    if not 0 <= grains <= _MOST:
        return Fault(f"A gauge with an uncertainty of {quoted(text)} measures no clearance", "write it as 0.01 mm")
    return Uncertainty(grains, "as given")


def thickness_uncertainty(text: str) -> int | Fault:
    """Return the uncertainty [grains] of the thickness of a shim that ``text`` [length] gives; 0 where it gives none.

    >>> thickness_uncertainty(""), thickness_uncertainty("0.005 mm")
    (0, 250)
    """
    found = gauge_uncertainty(text, LengthUnit.MILLIMETRE) if text else Uncertainty(0, "")
    return found if isinstance(found, Fault) else found.grains


def combined(parts: Iterable[Fraction | int]) -> Fraction:
    """Return the uncertainty of a sum of values of which each has one of the ``parts`` [one unit, as is the answer].

    Formula: U = sqrt(U1**2 + U2**2 + ...), for values that do not depend on each other, all with the same coverage.

    Source: JCGM 100:2008 (GUM), 5.1.2 and 6.2 (from memory).

    >>> combined([3, 4]), combined([500])
    (Fraction(5, 1), Fraction(500, 1))
    """
    squares = sum((Fraction(part) ** 2 for part in parts), Fraction(0))
    return Fraction(math.isqrt(math.floor(squares * _FINE**2)), _FINE)
