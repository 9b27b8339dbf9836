"""Bolts among their neighbours: what is read off beside their target, which of them strike, and how they scatter."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.facts.codes import ReadAt
from assistant.fastening.quantities import Angle, Torque


class Judging(Protocol):
    """Bolts among their neighbours."""

    def read_ask(self, what: ReadAt) -> str:
        """Say what is read off at each bolt, and how it is given."""

    def bolt_was_read(self, value: Torque | Angle) -> str:
        """Say back what was read off, without its unit, digit by digit where it sounds like another."""

    def doubted(self, bolt: int, value: Torque | Angle | None, what: ReadAt, *, below: bool) -> list[str]:
        """Say that a bolt is well ``below`` its neighbours, or else above, what it may be, and to look at it.

        ``value`` is what was read off; None where that was said just now.
        """

    def joint_doubted(self, bolt: int, end: Torque | Angle, what: ReadAt, *, below: bool) -> list[str]:
        """Say that a bolt is ``below`` the ``end`` of what its joint can account for, or else above it, and to look."""

    def by_neighbours_too(self, bolt: int, *, below: bool) -> str:
        """Say of a bolt that is in doubt by its joint that it strikes among its neighbours as well."""

    def joint_ground(self, bolt: int, value: Torque | Angle, least: Torque | Angle, most: Torque | Angle) -> str:
        """Say what was read off at a doubted bolt, and from what to what its joint accounts for, inside a sentence."""

    def joint_allows(self, least: Torque | Angle, most: Torque | Angle) -> list[str]:
        """Say from what to what the joint of the bolts accounts for."""

    def retightened(self, bolts: Sequence[int], time: int, of: int) -> str:
        """Say that bolts go in again, for which ``time`` ``of`` how many."""

    def retightened_spent(self, bolts: Sequence[int]) -> str:
        """Say that bolts were tightened again as often as they may be."""

    def new_for_spent(self, bolts: Sequence[int], *, told: bool) -> str:
        """Ask for the word that new bolts are in their place; and say why, where that was not ``told`` just now."""

    def moved_on(self, bolt: int, least: Decimal) -> list[str]:
        """Say that a bolt moved on below the ``least`` part of its first torque [%], what it may be, and to look."""

    def left_alone(self, bolt: int) -> str:
        """Say that a doubted bolt stays as it is."""

    def doubt_way(self, bolt: int) -> str:
        """Say how a doubted bolt is left as it is."""

    def scatter(self, number: int, middle: Torque | Angle, percent: int) -> list[str]:
        """Say how many were read off, their median, and how far the farthest is from it [%]."""

    def too_few(self, least: int) -> str:
        """Say that fewer than the ``least`` number of bolts were read off, so that none is doubted."""

    def nothing_read(self) -> str:
        """Say that there are no bolts to compare."""

    def in_doubt(self, bolts: list[int]) -> str:
        """Say which bolts are in doubt, and nobody decided about."""

    def open_doubts(self, bolts: list[int]) -> str:
        """Name bolts that are in doubt, inside a sentence."""

    def leave_doubt(self, bolt: int) -> str:
        """Say what leaving a doubted bolt as it is means, to be asked."""
