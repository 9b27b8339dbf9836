"""Thicknesses of shims and clearances as whole numbers, exact in millimetres and in inches, and lists of them.

Everything is counted in grains of 20 nm: a micrometre is 50 of them, a ten-thousandth of an inch 127. So a reading in
inches and a shim in millimetres are added without rounding.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from itertools import pairwise

from assistant.fastening.quantities import Length, LengthUnit, plain
from assistant.faults import Fault, quoted

GRAINS = {LengthUnit.MILLIMETRE: 50_000, LengthUnit.INCH: 1_270_000}
"""Grains in one of each unit, exact: 1 in = 25.4 mm (NIST SP 811, appendix B)."""
THOU = "thou"
"""Thousandths of an inch, as small inches are kept and said."""
_DECIMALS = {LengthUnit.MILLIMETRE: 3, LengthUnit.INCH: 4}
"""Decimals to which a value is written in each unit when it does not end in it: a micrometre, a ten-thousandth."""
_LONG = 5
"""From so many sizes on a series is written by its ends."""
MOST_SIZES = 500
"""Sizes that one series or list has at most. Ours."""
_MOST_THICK = 2 * GRAINS[LengthUnit.INCH]
_NUMBER = r"\d{1,4}(?:\.\d{1,5})?"
_UNIT = r"mm|in|inch|inches"
_SERIES = re.compile(rf"({_NUMBER})\s*(?:to|-|–)\s*({_NUMBER})\s*by\s*({_NUMBER})\s*({_UNIT})", re.ASCII)
_ITEM = re.compile(rf"({_NUMBER})\s*({_UNIT})?(?:\s*[x×]\s*(\d{{1,3}}))?\s*({_UNIT})?")
_HINT = "write a series such as 2.00 to 3.20 by 0.05 mm, or a list such as 2.45, 2.60 x 2 mm"


@dataclass(frozen=True, slots=True)
class Thicknesses:
    """Thicknesses [grains] in rising order, each as often as it is there, in the ``unit`` in which they were given."""

    sizes: tuple[int, ...]
    unit: LengthUnit

    def __str__(self) -> str:
        """Return them as they are written: as a series where they are a long one, else as a list."""
        steps = {after - before for before, after in pairwise(self.sizes)}
        if len(self.sizes) < _LONG or len(steps) > 1 or 0 in steps:
            return self.listed
        first, last, step = (written(size, self.unit) for size in (self.sizes[0], self.sizes[-1], steps.pop()))
        return f"{first} to {last} by {step} {self.unit}"

    @property
    def listed(self) -> str:
        """Return them as a list that can be read again."""
        texts = [
            f"{written(size, self.unit)}{f' x {count}' if count > 1 else ''}"
            for size, count in Counter(self.sizes).items()
        ]
        return f"{', '.join(texts)} {self.unit}"


def grains_of(value: Decimal, unit: LengthUnit) -> int | Fault:
    """Return ``value`` [``unit``] in grains, exact.

    >>> grains_of(Decimal("2.60"), LengthUnit.MILLIMETRE), grains_of(Decimal("0.1024"), LengthUnit.INCH)
    (130000, 130048)
    """
    grains = value * GRAINS[unit]
    if grains != grains.to_integral_value():
        return Fault(f"{plain(value)} {unit} is finer than anything measures", "write at most micrometres")
    return int(grains)


def length_unit(unit: str) -> LengthUnit | None:
    """Return the unit of length that the written ``unit`` is, inches for thousandths of them; None for another kind."""
    if unit == THOU:
        return LengthUnit.INCH
    return LengthUnit(unit) if unit in tuple(LengthUnit) else None


def written_grains(value: Decimal, unit: str) -> int | Fault:
    """Return ``value`` in the written ``unit`` [mm, in or thou] in grains, exact.

    >>> written_grains(Decimal(8), "thou"), written_grains(Decimal("0.008"), "in")
    (10160, 10160)
    """
    of = length_unit(unit)
    if of is None:
        return Fault(f"{quoted(unit)} is no unit of length here", "write mm or in")
    return grains_of(value / 1000 if unit == THOU else value, of)


def grains_in(grains: int, unit: str) -> Decimal:
    """Return ``grains`` in the written ``unit`` [mm, in or thou], rounded once where it does not end there."""
    value = grains_value(grains, length_unit(unit) or LengthUnit.MILLIMETRE)
    return Decimal(plain((value * 1000).normalize() + 0)) if unit == THOU else value


def length_grains(length: Length) -> int | Fault:
    """Return a ``length`` [mm or in] in grains, exact."""
    return grains_of(length.value, length.unit)


def grains_value(grains: int, unit: LengthUnit) -> Decimal:
    """Return ``grains`` in ``unit``: exact where it ends there, else rounded once to its last decimal that counts.

    >>> grains_value(130000, LengthUnit.MILLIMETRE), grains_value(130000, LengthUnit.INCH)
    (Decimal('2.6'), Decimal('0.1024'))
    """
    exact = Decimal(grains) / GRAINS[unit]
    if exact != round(exact, 5):
        exact = exact.quantize(Decimal(1).scaleb(-_DECIMALS[unit]), ROUND_HALF_EVEN)
    return exact.normalize() + 0


def written(grains: int, unit: LengthUnit) -> str:
    """Return ``grains`` as they are written in ``unit``, without it: at least two decimals, three in inches."""
    value, least = grains_value(grains, unit), 3 if unit is LengthUnit.INCH else 2
    return plain(value if -int(value.as_tuple().exponent) >= least else value.quantize(Decimal(1).scaleb(-least)))


def parse_thicknesses(text: str) -> Thicknesses | Fault:
    """Read a series such as ``2.00 to 3.20 by 0.05 mm``, or a list such as ``2.45, 2.60 x 2 mm``.

    >>> str(parse_thicknesses("2.00 to 2.10 by 0.05 mm")), str(parse_thicknesses("2.60 x 2, 2.45 mm"))
    ('2.00, 2.05, 2.10 mm', '2.45, 2.60 x 2 mm')
    """
    clean = " ".join(text.split())
    if len(clean) > 10 * MOST_SIZES:
        return Fault(f"{quoted(text)} is too long", _HINT)
    series = _SERIES.fullmatch(clean)
    sizes = _series(clean, series) if series is not None else _list(clean)
    if isinstance(sizes, Fault):
        return sizes
    found, unit = sizes
    if not found:
        return Fault("There is no thickness", _HINT)
    if found[0] <= 0:
        return Fault(f"{quoted(text)} has a shim of no thickness", "take it out")
    if found[-1] > _MOST_THICK:
        return Fault(f"{quoted(text)} has a shim that is thicker than two inches", "check the number and the unit")
    if len(found) > MOST_SIZES:
        return Fault(f"{quoted(text)} has {len(found)} sizes", f"the most is {MOST_SIZES}")
    return Thicknesses(found, unit)


def _unit(word: str) -> LengthUnit:
    return LengthUnit.MILLIMETRE if word == "mm" else LengthUnit.INCH


def _series(text: str, match: re.Match[str]) -> tuple[tuple[int, ...], LengthUnit] | Fault:
    unit = _unit(match[4])
    ends = [grains_of(Decimal(match[at]), unit) for at in (1, 2, 3)]
    first, last, step = (end if isinstance(end, int) else 0 for end in ends)
    if any(isinstance(end, Fault) for end in ends) or step <= 0 or last < first:
        return Fault(f"{quoted(text)} is no series", _HINT)
    if (last - first) % step:
        return Fault(f"The steps of {quoted(text)} do not end at its last size", "correct the last size or the step")
    if (last - first) // step >= MOST_SIZES:
        return Fault(f"{quoted(text)} has more than {MOST_SIZES} sizes", "make the step wider")
    return tuple(range(first, last + 1, step)), unit


def _list(text: str) -> tuple[tuple[int, ...], LengthUnit] | Fault:
    found: list[int] = []
    items = [_ITEM.fullmatch(item.strip()) for item in text.split(",")]
    units = {_unit(word) for item in items if item for word in (item[2], item[4]) if word}
    if len(units) > 1:
        return Fault(f"{quoted(text)} mixes millimetres and inches", "write one list in one unit")
    if not units:
        return Fault(f"{quoted(text)} has no unit", _HINT)
    unit = next(iter(units))
    for item in items:
        size = None if item is None else grains_of(Decimal(item[1]), unit)
        if item is None or not isinstance(size, int):
            return Fault(f"{quoted(text)} is no list of thicknesses", _HINT)
        found += [size] * int(item[3] or 1)
    return tuple(sorted(found)), unit
