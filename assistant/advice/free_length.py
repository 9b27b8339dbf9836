"""Whether a bolt that was tightened to yield is still short enough to be used again, by the procedure's own limit."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.fastening.quantities import Length, LengthUnit


class Reuse(StrEnum):
    """What a free length says of a bolt: not longer than the limit, longer, or too close to it to tell."""

    WITHIN = "within"
    BEYOND = "beyond"
    CLOSE = "close"


UNCERTAINTY = Length(Decimal("0.03"), LengthUnit.MILLIMETRE)
"""How far a length is off that was measured with a hand-held sliding gauge of 0.02 mm; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Stretched:
    """The free ``length`` of a bolt, what it says of ``reuse``, and how far it is ``over`` the limit (or under)."""

    length: Length
    reuse: Reuse
    over: Length


def judge_length(length: Length, limit: Length, uncertainty: Length = UNCERTAINTY) -> Stretched:
    """Compare the free ``length`` [length] of a bolt with the ``limit`` [length] of its procedure.

    ``uncertainty`` [length] is that of the measurement. What is longer than the limit is beyond it, however little: the
    uncertainty never lets a bolt through, it only tells where a length within the limit may not be.

    Formula: beyond where l > limit; close where l + u > limit.

    Source: the decision rule with a guard band, ISO 14253-1 (from memory); the limit is the procedure's.

    >>> from assistant.fastening.units import parse_length
    >>> found = judge_length(parse_length("118.49 mm"), parse_length("118.5 mm"))
    >>> found.reuse.value, str(found.over)
    ('close', '-0.01 mm')
    """
    over = length.to(limit.unit) - limit
    if length > limit:
        reuse = Reuse.BEYOND
    else:
        reuse = Reuse.CLOSE if length.size + uncertainty.size > limit.size else Reuse.WITHIN
    return Stretched(length, reuse, over)
