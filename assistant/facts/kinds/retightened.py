"""Bolts that are tightened once more: how often they were, and whether they hold what they got first."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.base import Fact, Quantity


class RetighteningCounted(Fact, frozen=True, kw_only=True):
    """``bolts`` of a group came loose in ``step`` and are to be tightened again, each for so many ``times`` by now.

    The procedure lets them be tightened again ``at_most`` so often; in place of those that are ``spent`` new ones must
    come.
    """

    KIND = "retightening_counted"
    step: str
    group: str
    bolts: tuple[int, ...]
    times: tuple[int, ...]
    at_most: int
    spent: tuple[int, ...] = ()


class RetighteningAsBefore(Fact, frozen=True, kw_only=True):
    """How often ``bolts`` of a group are tightened again stands as it did: so many ``times``.

    Those that are ``loose`` were counted since they were tightened last; ``not_spent`` need no new ones any more.
    """

    KIND = "retightening_as_before"
    group: str
    bolts: tuple[int, ...]
    times: tuple[int, ...]
    loose: tuple[int, ...] = ()
    not_spent: tuple[int, ...] = ()


class MovedOnEarly(Fact, frozen=True, kw_only=True):
    """On a check, or when it was read ``again``, a bolt had less than a part of what it had ``first``.

    The procedure asks for ``least`` [%] of that. A doubt: nothing is decided by it.
    """

    KIND = "moved_on_early"
    step: str
    stage: int
    turn: int
    run: int
    group: str
    bolt: int
    first: Quantity
    again: Quantity
    least: Decimal
