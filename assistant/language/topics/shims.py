"""What is said about shims that are proposed: how many, which to buy, and the shim of one valve."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.facts.codes import ShimWay
from assistant.language.topics.tables import Called


class Shims(Protocol):
    """Shims of valves."""

    def shims_word(self, *, many: bool) -> str:
        """Return the word for one shim, or for ``many``, as a recogniser spells it: it is asked for by it."""

    def worked_out(
        self,
        changed: int,
        buy: Sequence[Decimal],
        unreached: Sequence[Called],
        *,
        near: int,
        without: int,
        in_full: bool,
    ) -> list[str]:
        """Say how many valves get another shim, which sizes to ``buy``, and which none reaches.

        ``near`` are so near a limit that the gauge cannot tell; ``without`` were not worked out. ``in_full``: with all
        that is to buy.
        """

    def all_stay(self) -> str:
        """Say that no valve needs another shim."""

    def one(self, valve: Called, way: ShimWay, value: Decimal, source: Called | None) -> list[str]:
        """Say what ``valve`` gets: a shim of the size ``value``; where none reaches, ``value`` is how far off it is."""

    def expected(self, value: Decimal, *, near: bool) -> str:
        """Say the clearance to expect, and whether it is ``near`` a limit."""

    def last(self) -> str:
        """Say that there is no further proposal."""

    def not_worked_out(self) -> list[str]:
        """Say that nothing is proposed yet, and what to do."""

    def no_such(self, value: Decimal) -> list[str]:
        """Read back a shim of a size that there is not, to be confirmed."""

    def was_proposed(self, value: Decimal) -> str:
        """Say which size was proposed, where another one was read off."""
