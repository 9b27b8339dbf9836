"""Bolts that broke, are stripped, lost or the wrong ones, and what was dropped: held open until they are in, or out."""

from __future__ import annotations

import msgspec

from assistant.facts.asking import Ask
from assistant.facts.base import Fact
from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.kinds.tighten import Undone


class BoltHeld(Fact, frozen=True, kw_only=True):
    """A bolt of a group cannot go on: what happened to it, and in which step that was said (None outside the steps).

    What it had got does not count any more (``undone``), ``reopened`` are steps that are not done any more. ``worn``
    when it had got its further angle and is used only once: a new one must come.
    """

    KIND = "bolt_held"
    group: str
    bolt: int
    what: TroubleWhat
    step: str | None
    undone: tuple[Undone, ...] = ()
    reopened: tuple[str, ...] = ()
    worn: bool = False


class BoltFreed(Fact, frozen=True, kw_only=True):
    """A bolt that was held open goes on with its first stage: ``what`` had happened to it, and how it ended."""

    KIND = "bolt_freed"
    group: str
    bolt: int
    what: TroubleWhat
    how: FreedHow
    step: str | None


class HoldTakenBack(Fact, frozen=True, kw_only=True):
    """Nothing happened to a bolt after all: it is not held open, and what it had got does not count all the same.

    ``must_loosen`` when it was turned by a further angle before, ``worn`` when a new one had to come then.
    """

    KIND = "hold_taken_back"
    group: str
    bolt: int
    must_loosen: bool = False
    worn: bool = False


class Dropped(Fact, frozen=True, kw_only=True):
    """A bolt may lie in the machine; ``number`` counts what was dropped in the job from one.

    It is a lost one of a group when those are given: another one was put in its place.
    """

    KIND = "dropped"
    number: int
    step: str | None
    group: str = ""
    bolt: int | None = None


class DroppedFound(Fact, frozen=True, kw_only=True):
    """What was dropped is out of the machine again."""

    KIND = "dropped_found"
    number: int


class LeftHeld(msgspec.Struct, frozen=True):
    """A bolt that is still held open, and what happened to it."""

    group: str
    bolt: int
    what: TroubleWhat


class TroubleLeft(Fact, frozen=True, kw_only=True):
    """The job is closed with these bolts held open and these dropped ones not found; the fact behind this closes it."""

    KIND = "trouble_left"
    bolts: tuple[LeftHeld, ...] = ()
    dropped: tuple[int, ...] = ()


class AskBoltHeld(Ask, frozen=True):
    """Hold a bolt open for what happened to it; ``others`` are groups that have a bolt of that number too."""

    group: str
    bolt: int
    trouble: TroubleWhat
    others: tuple[str, ...] = ()


class AskBoltFreed(Ask, frozen=True):
    """Is a bolt that was held open in again; ``others`` are groups of which a bolt of that number is held too."""

    group: str
    bolt: int
    how: FreedHow
    others: tuple[str, ...] = ()


class AskBoltLeft(Ask, frozen=True):
    """Go on without a bolt that is held open."""

    group: str
    bolt: int
    others: tuple[str, ...] = ()


class AskDroppedFound(Ask, frozen=True):
    """Is what was dropped out of the machine again."""

    number: int


class AskDroppedLeft(Ask, frozen=True):
    """Go on although what was dropped was not found."""

    number: int
