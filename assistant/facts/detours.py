"""Going elsewhere than on: to a place that was named, back by some, and back to where somebody was."""

from __future__ import annotations

from enum import StrEnum

from assistant.facts.asking import Ask
from assistant.facts.base import Fact


class WentTo(Fact, frozen=True, kw_only=True):
    """Somebody went from the place ``since`` (key) to ``place``; nothing was done by that.

    ``stays_open`` are the ids of the steps jumped over that are open, ``hazards`` those on the way that were read
    before (place, and number from one). ``by_itself``: a detour came to its end, and nobody said to go back.
    """

    KIND = "went_to"
    place: str
    since: str
    stays_open: tuple[str, ...] = ()
    hazards: tuple[tuple[str, int], ...] = ()
    by_itself: bool = False


class Obstacle(StrEnum):
    """Why nobody goes to a place now."""

    PREPARATION = "preparation"
    """The preparation or a hazard of the whole job is open."""
    NO_STEP = "no_step"
    """There is no open step of that kind, or no such place."""
    HERE = "here"
    """The job is there."""
    STOP = "stop"
    """The job stops on the way, unless there is a reason to go on."""
    GATE = "gate"
    """A gate before it is not passed."""
    NEED = "need"
    """A step that it needs is not done."""
    WAIT = "wait"
    """A wait that comes before it is not over."""
    LOCK_OUT = "lock_out"
    """A lock is not in."""
    LOCK_IN = "lock_in"
    """A lock is in."""
    PART_ON = "part_on"
    """A part is on that is off at that step."""
    PART_OFF = "part_off"
    """A part is off that is on at that step."""
    NEW_PART = "new_part"
    """A new part is not fitted."""
    FASTENERS_IN = "fasteners_in"
    """Fasteners are in that are out at that step."""
    FASTENERS_OUT = "fasteners_out"
    """Fasteners are out that are in at that step."""


class NotGone(Fact, frozen=True, kw_only=True):
    """Nobody went to ``place`` (key, or ""), and why.

    ``what`` is the id of what is in the way, ``step`` that of the step that must come first, or "".
    """

    KIND = "not_gone"
    place: str
    why: Obstacle
    what: str = ""
    step: str = ""


class AskGoTo(Ask, frozen=True):
    """Go to ``place`` past the ``hazards`` on the way, which are read: place, and number from one.

    ``again``: they are read a second time, since their reading was cut short.
    """

    place: str
    hazards: tuple[tuple[str, int], ...]
    again: bool = False
