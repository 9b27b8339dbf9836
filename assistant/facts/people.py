"""Who works on the job, and what people said in their own words."""

from __future__ import annotations

from typing import Annotated

import msgspec

from assistant.facts.base import PERSONAL, Fact


class HandedOver(Fact, frozen=True, kw_only=True):
    """Somebody took the job over; ``taken_by`` is empty when no name was given."""

    KIND = "handed_over"
    left_by: Annotated[str, PERSONAL] = ""
    taken_by: Annotated[str, PERSONAL] = ""


class OperatorsNamed(Fact, frozen=True, kw_only=True):
    """Everybody who is known to work on the job, in order, parted by commas; the first of them works now."""

    KIND = "operators_named"
    names: Annotated[str, PERSONAL] = ""


class HelperCame(Fact, frozen=True, kw_only=True):
    """Somebody helps from ``at_ms`` on, beside who works on the job; ``name`` is "" where none was given."""

    KIND = "helper_came"
    name: Annotated[str, PERSONAL] = ""
    at_ms: int


class HelperLeft(Fact, frozen=True, kw_only=True):
    """Somebody helped until ``at_ms``, as :class:`HelperCame`."""

    KIND = "helper_left"
    name: Annotated[str, PERSONAL] = ""
    at_ms: int


class HelperWas(msgspec.Struct, frozen=True):
    """How somebody helped: for ``ms`` so far, since ``since_ms`` (0: not just then), ``away_ms`` of the job before."""

    ms: int
    since_ms: int
    away_ms: int


class HelperAsBefore(Fact, frozen=True, kw_only=True):
    """The last word that ``name`` helps, or helps no more, does not count: it ``was`` so; None: they never helped."""

    KIND = "helper_as_before"
    name: Annotated[str, PERSONAL] = ""
    was: HelperWas | None = None


class Noted(Fact, frozen=True, kw_only=True):
    """A note; not ``complete`` when silence ended it or words did not fit. ``step`` is None outside the steps.

    ``silent_ms`` is when silence ended it, 0 where somebody did.
    """

    KIND = "note"
    step: str | None
    text: Annotated[str, PERSONAL]
    complete: bool = True
    silent_ms: int = 0


class ProblemNoted(Fact, frozen=True, kw_only=True):
    """A problem, as :class:`Noted`."""

    KIND = "problem"
    step: str | None
    text: Annotated[str, PERSONAL]
    complete: bool = True
    silent_ms: int = 0
