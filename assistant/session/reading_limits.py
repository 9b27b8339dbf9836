"""What a reading at a bolt is compared with: the limits of the procedure, or a general tolerance where it has none."""

from __future__ import annotations

from decimal import Decimal

from assistant.fastening.readings import Side, compare, general_limits, general_tolerance
from assistant.fastening.units import Angle, Torque
from assistant.session import tooling
from assistant.session.engine import Engine
from assistant.session.places import Chunk


def tolerance_of(e: Engine, chunk: Chunk) -> Decimal | None:
    """Return the general tolerance [%] of a reading, for want of a limit in the procedure.

    None where the procedure has both limits, and for a job under the rules before the third.
    """
    if e.rules < 3 or chunk.target is None or None not in (chunk.of.low, chunk.of.high):
        return None
    return general_tolerance(chunk.target, _accuracy(e))


def _accuracy(e: Engine) -> Decimal | None:
    choice = tooling.choice_at(e)
    return choice.accuracy.quantize(Decimal("0.1")) if choice else None


def limits_of(e: Engine, chunk: Chunk) -> tuple[Torque | Angle | None, Torque | Angle | None]:
    """Return the lowest and the highest reading that is taken without a decision; None where nothing is compared."""
    low, high = chunk.of.low, chunk.of.high
    if chunk.target is None or tolerance_of(e, chunk) is None:
        return low, high
    ends = general_limits(chunk.target, _accuracy(e))
    known = [end for end in (*ends, low, high) if end is not None]
    # A limit of the procedure beyond the general tolerance takes that end with it, so that the two stay in order.
    least, most = min(known, key=lambda end: end.size), max(known, key=lambda end: end.size)
    return (low or (ends[0] if high is None else least)), (high or (ends[1] if low is None else most))


def side_of(e: Engine, value: Torque | Angle, chunk: Chunk) -> Side | None:
    """Return where what was read off lies; None when there is nothing to compare it with."""
    low, high = limits_of(e, chunk)
    if low is None and high is None:
        return None
    side = compare(value, low, high)
    if not isinstance(side, Side):
        raise TypeError(side.sentence)  # the reader of procedures lets no such limits through
    return side
