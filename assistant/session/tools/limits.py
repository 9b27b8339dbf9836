"""What a reading at a bolt is compared with: the limits of the procedure, or a general tolerance where it has none."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.codes import Side
from assistant.fastening.quantities import Angle, Torque, TorqueUnit
from assistant.fastening.readings import compare, general_limits, general_tolerance
from assistant.session.chunks import Chunk
from assistant.session.here import Here
from assistant.session.tools.chosen import choice_at
from assistant.session.tools.plan import CLICKS


def reading_unit(here: Here, chunk: Chunk) -> TorqueUnit | None:
    """Return the unit in which a torque is read off here: the one asked for, the wrench's, the procedure's.

    None where an angle is read off, in degrees.
    """
    if chunk.way not in CLICKS or not isinstance(chunk.target, Torque):
        return None
    choice = choice_at(here)
    return here.state.unit or (choice.wrench.unit if choice else chunk.target.unit)


def tolerance_of(here: Here, chunk: Chunk) -> Decimal | None:
    """Return the general tolerance [%] of a reading, for want of a limit in the procedure; None where it has both."""
    if chunk.target is None or None not in (chunk.of.low, chunk.of.high):
        return None
    return general_tolerance(chunk.target, _accuracy(here))


def _accuracy(here: Here) -> Decimal | None:
    choice = choice_at(here)
    return choice.accuracy.quantize(Decimal("0.1")) if choice else None


def limits_of(here: Here, chunk: Chunk) -> tuple[Torque | Angle | None, Torque | Angle | None]:
    """Return the lowest and the highest reading that is taken without a decision; None where nothing is compared."""
    low, high = chunk.of.low, chunk.of.high
    if chunk.target is None or tolerance_of(here, chunk) is None:
        return low, high
    ends = general_limits(chunk.target, _accuracy(here))
    known = [end for end in (*ends, low, high) if end is not None]
    # A limit of the procedure beyond the general tolerance takes that end with it, so that the two stay in order.
    least, most = min(known, key=lambda end: end.size), max(known, key=lambda end: end.size)
    return (low or (ends[0] if high is None else least)), (high or (ends[1] if low is None else most))


def side_of(here: Here, value: Torque | Angle, chunk: Chunk) -> Side | None:
    """Return where what was read off lies; None when there is nothing to compare it with."""
    low, high = limits_of(here, chunk)
    if low is None and high is None:
        return None
    side = compare(value, low, high)
    if not isinstance(side, Side):
        raise TypeError(side.sentence)  # the reader of procedures lets no such limits through
    return side
