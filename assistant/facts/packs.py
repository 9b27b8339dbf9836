"""Which pack of shims was proposed from a reading, that it was put in, and what is in the box of the bay."""

from __future__ import annotations

from decimal import Decimal

import msgspec

from assistant.facts.asking import Ask
from assistant.facts.base import Bounds, Fact, Quantity
from assistant.facts.codes import PackWay
from assistant.facts.inputs import Input


class PackWorkedOut(Fact, frozen=True, kw_only=True):
    """A pack for what is called ``pack`` was worked out from a ``reading`` in ``step``; advice, nothing was done.

    ``wanted`` are the limits of the play, in the unit of ``expected``, which is the play that is left. Sizes are in
    ``unit``: the pack that was ``present`` when it was read off (``counted``: it was put in during this job), all
    ``shims`` of the proposed one, and those that come ``out`` and that are ``new``. Where none reaches the band it is
    the one that comes nearest, and ``off`` is how far out of the band that is, below zero when below. ``near`` is
    whether what is left is so near a limit that its ``uncertainty`` does not tell; that of the gauge in it was
    ``assumed`` where nobody gave it.
    """

    KIND = "pack_worked_out"
    step: str
    pack: str
    reading: Quantity
    wanted: Bounds
    way: PackWay
    unit: str
    present: tuple[Decimal, ...]
    counted: bool
    shims: tuple[Decimal, ...]
    out: tuple[Decimal, ...]
    new: tuple[Decimal, ...]
    expected: Quantity
    off: Quantity
    uncertainty: Quantity
    assumed: bool
    near: bool


class PackPutIn(Fact, frozen=True, kw_only=True):
    """With ``step`` done, the pack that was proposed for ``pack`` is in; the next reading counts from it."""

    KIND = "pack_put_in"
    step: str
    pack: str
    unit: str
    shims: tuple[Decimal, ...]


class AskFittedShim(Ask, frozen=True):
    """Take it that a ``shim`` was found in the pack of ``pack``, so that ``shims`` are in it by now; none for zero."""

    step: str
    pack: str
    unit: str
    shim: Decimal
    shims: tuple[Decimal, ...]


class PackFound(Fact, frozen=True, kw_only=True):
    """These ``shims`` [``unit``] were found fitted for ``pack``; readings count from them, and not from the procedure.

    It says all of them that are known by now, and takes the place of what was found or put in before.
    """

    KIND = "pack_found"
    step: str
    pack: str
    unit: str
    shims: tuple[Decimal, ...]


class PackWas(msgspec.Struct, frozen=True):
    """A pack that is in: in which ``step`` it was put in, and its ``shims`` [``unit``]."""

    step: str
    unit: str
    shims: tuple[Decimal, ...]


class PackAsBefore(Fact, frozen=True, kw_only=True):
    """That a pack was put in for ``pack`` does not count any more; ``was`` is the one that was put in before, or none.

    With ``dropped`` what was proposed for it does not count either.
    """

    KIND = "pack_as_before"
    pack: str
    was: PackWas | None = None
    dropped: bool = False


class PackFoundAsBefore(Fact, frozen=True, kw_only=True):
    """The last word of what was found fitted for ``pack`` does not count: so much was ``found`` before, or put in."""

    KIND = "pack_found_as_before"
    pack: str
    found: PackWas | None = None
    put_in: PackWas | None = None


class BoxShims(msgspec.Struct, frozen=True):
    """So many shims of one ``size`` in the box of a bay, of a ``kind`` as its list calls it; "" where it names none."""

    kind: str
    size: Quantity
    count: int


class BoxKnown(Input, frozen=True, kw_only=True):
    """What is in the box of the bay, by a list that was read; it takes the place of any such list before."""

    KIND = "box_known"
    shims: tuple[BoxShims, ...]
