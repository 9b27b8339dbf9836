"""What values that were read off tell of bolts: that one is too long to be used again, or strikes among the others."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from assistant.facts.asking import Ask
from assistant.facts.base import PERSONAL, Fact, Quantity
from assistant.facts.codes import ReadAt, Side


class LengthsJudged(Fact, frozen=True, kw_only=True):
    """The free lengths of ``bolts`` of a group were read off in ``step``, and compared with the longest that is used.

    Those ``beyond`` the ``limit`` are not used again: new ones must come. Those ``close`` are within it by less than
    the ``uncertainty`` of a length.
    """

    KIND = "lengths_judged"
    step: str
    group: str
    bolts: tuple[int, ...]
    limit: Quantity
    uncertainty: Quantity
    beyond: tuple[int, ...] = ()
    close: tuple[int, ...] = ()


class BoltRead(Fact, frozen=True, kw_only=True):
    """At a bolt, ``what`` was read off beside its target: its final torque after an angle, or its angle at a torque."""

    KIND = "bolt_read"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int
    what: ReadAt
    reading: Quantity
    repeated: bool = False


class BoltDoubted(Fact, frozen=True, kw_only=True):
    """A bolt strikes among the ``number`` of its group that were read off: on which ``side`` of their ``median``.

    ``mad`` is the median distance from it, ``score`` the modified z-score [1]. A doubt: nothing is decided by it.
    """

    KIND = "bolt_doubted"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int
    what: ReadAt
    side: Side
    reading: Quantity
    median: Quantity
    mad: Quantity
    number: int
    score: Decimal


class JointDoubted(Fact, frozen=True, kw_only=True):
    """What was read off at a bolt is beyond what its joint allows, on which ``side`` of ``least`` to ``most``.

    It is that of ``clamp_length`` and ``clamped`` parts ("" where it is not known of what), with a friction [1] from
    ``least_friction`` to ``most_friction``, taken from the torque ``before`` on by the angle ``turned`` (None where the
    angle is what was read off at a torque). A tool that is off by ``accuracy`` [%] does not explain it. A doubt:
    nothing is decided by it.
    """

    KIND = "joint_doubted"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int
    what: ReadAt
    side: Side
    reading: Quantity
    least: Quantity
    most: Quantity
    before: Quantity
    turned: Quantity | None
    clamp_length: Quantity
    clamped: str
    least_friction: Decimal
    most_friction: Decimal
    accuracy: Decimal


class DoubtLeft(Fact, frozen=True, kw_only=True):
    """Somebody leaves a doubted bolt as it is, for a reason."""

    KIND = "doubt_left"
    step: str
    turn: int
    run: int
    group: str
    bolt: int
    reason: Annotated[str, PERSONAL]


class AskDoubtLeft(Ask, frozen=True):
    """Leave a doubted bolt of a group as it is."""

    group: str
    bolt: int
