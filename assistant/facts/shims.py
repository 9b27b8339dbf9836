"""Which shims were proposed for the valves of a table, and which proposal was told."""

from __future__ import annotations

import msgspec

from assistant.facts.base import Bounds, Fact, Quantity
from assistant.facts.codes import ShimWay
from assistant.facts.kinds.measure import CellAt


class ShimProposal(msgspec.Struct, frozen=True):
    """The proposal for one valve, whose clearance was read ``at`` a place of a table, and its ``fitted`` shim.

    ``way`` says where the new ``shim`` comes from; out of the engine, it is the one of ``source``. ``expected`` is the
    clearance that it leaves. Where no shim reaches the band both are of the one that comes nearest, and ``off`` is how
    far out of the band that is, below zero when too tight. ``near`` is whether that clearance is so near a limit that
    the gauge cannot tell.
    """

    at: CellAt
    clearance: Quantity
    limits: Bounds
    fitted: Quantity
    way: ShimWay
    shim: Quantity
    expected: Quantity
    off: Quantity
    source: CellAt | None = None
    near: bool = False


class ShimsWorkedOut(Fact, frozen=True, kw_only=True):
    """New shims were worked out for the table of ``step``, from the readings in ``steps``; advice, nothing was done.

    ``without`` are clearances of valves that are not in it: they or their shims were not read off, or cannot be.
    ``gauge`` is the uncertainty of a clearance that was taken, ``assumed`` where nobody gave it; ``thickness`` is that
    of a shim, which comes to it where another shim is proposed, or None.
    """

    KIND = "shims_worked_out"
    VERSION = 2
    step: str
    steps: tuple[str, ...]
    proposals: tuple[ShimProposal, ...]
    gauge: Quantity
    assumed: bool
    without: tuple[CellAt, ...] = ()
    thickness: Quantity | None = None


class ShimTold(Fact, frozen=True, kw_only=True):
    """The next proposal was asked for, in the order of the work; None: there was none behind the one before."""

    KIND = "shim_told"
    step: str
    at: CellAt | None
