"""About how long it takes to work on fasteners, where nobody knows it: from their number, the passes and the tool.

An estimate, and told as one everywhere: whatever a procedure or an earlier job says comes before it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.facts.codes import Direction, Way

# Own figures: common practice, no source. They are for a bolt that can be seen and reached, in seconds.
_TAKE_UP = 30
"""To take the tool in hand and set it, once for each pass [s]."""
_EACH = {Way.TORQUE: 10, Way.CHECK: 10, Way.ANGLE: 12, Way.LOOSEN: 10}
"""To turn one bolt, and come to the next [s]."""
_STROKE = 4
"""Each further stroke of a handle that has little room [s]."""
_REACH = 5
"""More for each bolt under a crowfoot or a lever extension [s]."""
_MULTIPLIER = 30
"""More for each bolt through a multiplier, whose arm must find a rest [s]."""
_READ = 10
"""More for each bolt at which a value is read off and told [s]."""
_BY_HAND = {Direction.OUT: 20, Direction.IN: 15}
"""To screw one fastener out or in and lay it down or take it up [s]."""


@dataclass(frozen=True, slots=True)
class Turned:
    """So many ``times`` a bolt (or bolts that are turned together) is turned in one pass, and with what.

    ``strokes`` is into how many each turn is split by the space around it.
    """

    turn: int
    way: Way
    times: int
    strokes: int = 1
    reach: bool = False
    multiplier: bool = False
    read: bool = False


def tightening_seconds(work: Iterable[Turned]) -> int:
    """Return about how long a tightening takes [s]: for each pass the tool, and for each bolt its turn.

    Formula: 30 s for each pass; for each bolt 10 s (12 s for an angle), 4 s for each further stroke, 5 s under a
    crowfoot, 30 s through a multiplier, and 10 s where a value is read off.

    Source: own figures, common practice, no source.

    >>> tightening_seconds([Turned(1, Way.TORQUE, 10), Turned(2, Way.ANGLE, 10)])
    280
    """
    total, turns = 0, set()
    for one in work:
        turns.add(one.turn)
        each = _EACH[one.way] + _STROKE * (one.strokes - 1)
        each += _REACH * one.reach + _MULTIPLIER * one.multiplier + _READ * one.read
        total += each * one.times
    return total + _TAKE_UP * len(turns)


def by_hand_seconds(number: int, direction: Direction) -> int:
    """Return about how long it takes to screw ``number`` [fasteners] out or in [s]: 30 s, and 20 or 15 s for each.

    Source: own figures, common practice, no source.

    >>> by_hand_seconds(4, Direction.OUT), by_hand_seconds(4, Direction.IN), by_hand_seconds(0, Direction.OUT)
    (110, 90, 0)
    """
    return _TAKE_UP + _BY_HAND[direction] * number if number else 0
