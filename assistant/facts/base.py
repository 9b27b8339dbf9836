"""What all facts share: how they are made, and the values that several of them hold."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

import msgspec


class FactFault(ValueError):
    """An entry is no fact of this version; ``args[0]`` says what is wrong with it."""


class Fact(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that happened. Texts in it are ids, codes, or words of a person, never words of ours.

    A field that ends in ``_ms`` is a time in milliseconds since the epoch (UTC), on the clock of the job, unless its
    class says otherwise; ``seconds`` are such [s]. Numbers of stages, passes, runs and things count from one.

    ``KIND`` is its name in the journal, ``VERSION`` goes up when its fields change: then there is an upcaster.
    An input comes from outside and causes the facts behind it; others that ``STANDS_ALONE`` have no cause.
    """

    KIND: ClassVar[str] = ""
    VERSION: ClassVar[int] = 1
    IS_INPUT: ClassVar[bool] = False
    STANDS_ALONE: ClassVar[bool] = False


PERSONAL = msgspec.Meta(extra={"personal": True})
"""Marks a text that tells of a person: it is kept beside the chain, and can be removed for good."""


class Quantity(msgspec.Struct, frozen=True):
    """A number with its unit, as it was said or is written: N·m, lbf·ft, lbf·in, °, mm, km, h ..."""

    value: Decimal
    unit: str


class Bounds(msgspec.Struct, frozen=True):
    """The limits of a value, in its unit; None where there is none."""

    low: Decimal | None = None
    high: Decimal | None = None


class Unreadable(Fact, frozen=True, kw_only=True):
    """Stands for an entry that is no fact of this version: its kind, and what is wrong with it. It is never stored."""

    kind: str
    why: str
