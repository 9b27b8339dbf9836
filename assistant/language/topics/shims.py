"""What is said about shims that are proposed: how many, which to buy, and the shim of one valve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from assistant.facts import Quantity
from assistant.facts.codes import PackWay, ShimWay
from assistant.language.topics.tables import Called


@dataclass(frozen=True, slots=True)
class PackSaid:
    """A pack as it is told: for what it is, its shims that come ``out`` and that are ``new``, each with its number.

    ``expected`` is the play that is left, ``off`` how far out of its band that is, below zero when below.
    """

    name: str
    way: PackWay
    out: Sequence[tuple[Quantity, int]]
    new: Sequence[tuple[Quantity, int]]
    expected: Quantity
    off: Quantity
    near: bool


class Shims(Protocol):
    """Shims of valves, and packs of them."""

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

    def pack_word(self) -> str:
        """Return the word for a pack of shims, as a recogniser spells it: it is asked for by it."""

    def pack_proposed(self, pack: PackSaid, *, in_full: bool) -> list[str]:
        """Say a pack that is proposed: what comes out and what goes in. ``in_full``: all of it, and what is left."""

    def counts_from_first(self, *, in_job: bool) -> str:
        """Say from which pack it was counted: from the one before that was put in ``in_job``, or from the first one."""

    def fitted_shim(self, name: str, size: Quantity, *, more: bool) -> str:
        """Read back a shim that was found fitted with ``name``, ``more`` beside others; the size zero is none."""

    def fitted_pack(self, total: Quantity, number: int, *, first: bool) -> list[str]:
        """Say how thick the shims are that were found, all in all, and what comes behind the ``first`` one."""

    def no_such_pack(self) -> list[str]:
        """Say that no shim, or no pack, is so thick."""

    def no_pack_yet(self) -> list[str]:
        """Say that no pack is proposed yet, and what to do."""
