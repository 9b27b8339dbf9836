"""How far a reading of a gauge may be off, where nothing says it."""

from __future__ import annotations

from dataclasses import dataclass

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
