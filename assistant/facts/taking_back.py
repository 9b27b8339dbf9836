"""Taking back: that a confirmation was withdrawn, and what is open again because of it. Nothing is erased.

A :class:`TakenBack` comes first, then a fact for each thing that does not count any more; those of one kind of step are
in ``kinds``. Each says by itself what is open again, so that nobody has to know what was confirmed.
"""

from __future__ import annotations

from typing import Annotated

import msgspec

from assistant.facts.asking import Ask, DeviationWhat
from assistant.facts.base import PERSONAL, Fact


class AskTakeBack(Ask, frozen=True):
    """Take back the confirmation that was heard at ``heard_ms``."""

    heard_ms: int


class TakenBack(Fact, frozen=True, kw_only=True):
    """A confirmation was taken back: what had been heard at ``heard_ms``, at ``place`` (key).

    ``confirmed_by`` is who worked on the job then, and ``by`` who takes it back; empty when no name was given.
    """

    KIND = "taken_back"
    heard_ms: int
    place: str
    confirmed_by: Annotated[str, PERSONAL] = ""
    by: Annotated[str, PERSONAL] = ""


class Reopened(Fact, frozen=True, kw_only=True):
    """A step, or a card of the preparation, is open again: neither done, nor answered, nor left out.

    Its hazards must be acknowledged again.
    """

    KIND = "reopened"
    place: str


class HazardReopened(Fact, frozen=True, kw_only=True):
    """A hazard is not acknowledged any more: its number at the place from one."""

    KIND = "hazard_reopened"
    place: str
    number: int


class ThingAsBefore(Fact, frozen=True, kw_only=True):
    """What was said of a thing of a card does not count any more: it is ``missing`` again, or not."""

    KIND = "thing_as_before"
    place: str
    number: int
    missing: bool


class DeviationWithdrawn(Fact, frozen=True, kw_only=True):
    """What was accepted for a reason is not accepted any more.

    ``told`` is the place (from zero) of the reason among what is told to whoever takes the job over.
    """

    KIND = "deviation_withdrawn"
    step: str | None
    what: DeviationWhat
    told: int
    timer: str = ""
    things: tuple[tuple[str, int], ...] = ()


class TimerWas(msgspec.Struct, frozen=True):
    """How a timer stood: when it ends, the visit for which it was asked, and what had become of it."""

    ends_ms: int
    visit: int
    warned: bool
    over: bool
    stopped: bool
    doubted: bool


class TimerAsBefore(Fact, frozen=True, kw_only=True):
    """A timer that was started or stopped by what is taken back stands as it ``was``; None: it does not run."""

    KIND = "timer_as_before"
    timer: str
    was: TimerWas | None = None
