"""The pack of shims that sets what one step reads off: an end play, a backlash, a preload or a drag. Plain values."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from assistant.advice.thickness import Thicknesses
from assistant.facts import Quantity
from assistant.fastening.quantities import Length, plain
from assistant.faults import Fault, quoted
from assistant.procedure.format.values import parse_limits
from assistant.procedure.model import Limits
from assistant.procedure.rows import slug

_RATIO = re.compile(r"-?\d{1,4}(?:\.\d{1,4})?(?:\s*/\s*\d{1,4})?", re.ASCII)
_MOST_RATIO = 1000


@dataclass(frozen=True, slots=True)
class PackStock:
    """The ``shims`` in hand for the pack of what is called ``name``, and the ``fitted`` pack that it is measured with.

    ``ratio`` is the change of the play for a change of the pack, or of a drag [its unit] for each millimetre of it.
    ``wanted`` is the play to reach where that is not the limits of the reading. ``gauge`` is the uncertainty of the
    reading, ``shim_gauge`` that of the thickness of each shim; ``kind`` is how the list of the bay's box calls them.
    """

    name: str
    shims: Thicknesses
    ratio: Fraction
    fitted: Thicknesses | None = None
    wanted: Limits | None = None
    gauge: Quantity | None = None
    shim_gauge: Length | None = None
    kind: str = ""

    @property
    def id(self) -> str:
        """Return what facts call it."""
        return slug(self.name)


def parse_ratio(text: str) -> Fraction | Fault:
    """Read a ratio of play to pack: a number or a fraction, not zero.

    >>> parse_ratio("0.6"), parse_ratio("-3/5")
    (Fraction(3, 5), Fraction(-3, 5))
    """
    clean = "".join(text.split())
    hint = "give it as the procedure does, such as -1 or 0.6; it is never guessed"
    if _RATIO.fullmatch(clean) is None or re.search(r"/0+$", clean):
        return Fault(f"{quoted(text)} is no ratio of play to pack", hint)
    if not 0 < abs(ratio := Fraction(clean)) <= _MOST_RATIO:
        return Fault(f"A ratio of {quoted(text)} cannot be", hint)
    return ratio


def written_ratio(ratio: Fraction) -> str:
    """Return a ratio as an author writes it.

    >>> written_ratio(Fraction(3, 5)), written_ratio(Fraction(-1, 3))
    ('0.6', '-1/3')
    """
    value = Decimal(ratio.numerator) / Decimal(ratio.denominator)
    return plain(value.normalize() + 0) if Fraction(value) == ratio else str(ratio)


def parse_uncertainty(text: str) -> Quantity | Fault:
    """Read the uncertainty of a reading: a number with the unit of the reading.

    >>> parse_uncertainty("0.01 mm")
    Quantity(value=Decimal('0.01'), unit='mm')
    """
    limits = parse_limits(f"at most {text}")
    if isinstance(limits, Fault) or limits.high is None or limits.high < 0:
        return Fault(f"{quoted(text)} is no uncertainty of a reading", "write it with its unit, such as 0.01 mm")
    return Quantity(limits.high, limits.unit)


def written_uncertainty(value: Quantity) -> str:
    """Return an uncertainty as an author writes it."""
    return f"{plain(value.value)} {value.unit}"
