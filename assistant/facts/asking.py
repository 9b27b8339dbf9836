"""What waits for "confirmed", and words that are taken down meanwhile."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Annotated, ClassVar

import msgspec

from assistant.facts.base import PERSONAL, Fact, Quantity


def _code(name: str) -> str:
    return re.sub(r"(?<=[a-z])(?=[A-Z])", "_", name.removeprefix("Ask")).lower()


class Question:
    """What can be asked; every class of it is an :class:`Ask`, and a kind of step may bring its own.

    ``WORD`` is the intent that carries it out.
    """

    __slots__ = ()
    WORD: ClassVar[str] = "confirmed"


class Ask(msgspec.Struct, Question, frozen=True, tag_field="what", tag=_code):
    """What was asked, with all that it is about. The name of its class makes the code under which it is stored."""


class AskSkipPlace(Ask, frozen=True):
    """Leave a card of the preparation out."""

    place: str


class AskSkipStep(Ask, frozen=True):
    """Leave a step out."""

    step: str


class AskLate(Ask, frozen=True):
    """Go on with a step after the open time that it had to come before."""

    step: str
    timer: str
    started: bool


class AskTimer(Ask, frozen=True):
    """Is a timer right after the computer's clock was set."""

    timer: str
    seconds_left: int


class AskWithout(Ask, frozen=True):
    """Begin the work without what is missing."""


class AskFound(Ask, frozen=True):
    """Is a thing here now that was missing; ``then`` are asked next. Each is a card and a number from one."""

    place: str
    number: int
    then: tuple[tuple[str, int], ...] = ()


class AskHandOver(Ask, frozen=True):
    """Hand the job over."""


class AskFinish(Ask, frozen=True):
    """Close the job."""


def code_of(question: Question) -> str:
    """Return what a question asks, as the journal names it."""
    return tag_of_ask(type(question))


def tag_of_ask(cls: type[Question]) -> str:
    """Return the code of a class of questions."""
    if not issubclass(cls, Ask):
        raise TypeError(f"{cls.__name__} is no class of questions.")
    return str(cls.__struct_config__.tag)


class Asked(Fact, frozen=True, kw_only=True):
    """Something was read back and waits for "confirmed" since ``at_ms``.

    ``needs_reason``: confirming it asks for a reason first; ``reason`` is the one that was given, and is read back too.
    """

    KIND = "asked"
    question: Question
    needs_reason: bool = False
    reason: Annotated[str, PERSONAL] = ""
    at_ms: int = 0


class AskedOn(Fact, frozen=True, kw_only=True):
    """A question was answered while something waits for "confirmed": its time begins anew at ``at_ms``."""

    KIND = "asked_on"
    at_ms: int


class Granted(Fact, frozen=True, kw_only=True):
    """What waited was confirmed: the facts behind this one do it. ``what`` is the code of the question."""

    KIND = "granted"
    what: str


class Dictated(StrEnum):
    """What is taken down."""

    NOTE = "note"
    PROBLEM = "problem"
    FINDING = "finding"
    REASON = "reason"


class DictationBegun(Fact, frozen=True, kw_only=True):
    """Words are taken down from ``at_ms`` on; a reason is for ``question``."""

    KIND = "dictation_begun"
    what: Dictated
    question: Question | None = None
    at_ms: int = 0


class WordsTaken(Fact, frozen=True, kw_only=True):
    """Words were taken down, as many as there was room for; ``is_cut`` when not all."""

    KIND = "words_taken"
    text: Annotated[str, PERSONAL]
    is_cut: bool = False
    at_ms: int = 0


class CancelledWhy(StrEnum):
    """Whether a person dropped it, silence did, something new came in its place, or the program was interrupted."""

    SAID = "said"
    SILENCE = "silence"
    REPLACED = "replaced"
    INTERRUPTED = "interrupted"
    ANSWERED = "answered"
    """The customer answered on the page before it was confirmed."""


class Cancelled(Fact, frozen=True, kw_only=True):
    """What waited or was taken down was dropped at ``at_ms``; nothing changes.

    ``what`` is the code of the question, or of what was taken down; of a hand-over that was not done, hand_over.
    """

    KIND = "cancelled"
    what: str
    why: CancelledWhy
    at_ms: int = 0


class DeviationWhat(StrEnum):
    """What was accepted although it is not as it should be."""

    COUNT = "count"
    PART = "part"
    READING = "reading"
    READINGS = "readings"
    """So many of the readings of a table: its ``count``."""
    ANSWER = "answer"
    WAIT = "wait"
    OPEN_TIME = "open_time"
    BOLT_READING = "bolt_reading"
    MISSING = "missing"
    BOLT_HELD = "bolt_held"
    """The work goes on without ``bolts`` of ``group`` that are held open."""
    DROPPED = "dropped"
    """``things`` that were dropped were not found: each ("dropped", its number)."""
    AMOUNT = "amount"


class Deviated(Fact, frozen=True, kw_only=True):
    """Something was accepted for a reason: the fields that it is about are given, others are empty."""

    KIND = "deviation"
    step: str | None
    what: DeviationWhat
    reason: Annotated[str, PERSONAL]
    count: int | None = None
    yes: bool | None = None
    reading: Quantity | None = None
    timer: str = ""
    seconds_left: int | None = None
    stage: int | None = None
    turn: int | None = None
    run: int | None = None
    group: str = ""
    bolts: tuple[int, ...] = ()
    things: tuple[tuple[str, int], ...] = ()


class SkippedWhat(StrEnum):
    """What was left out."""

    PLACE = "place"
    STEP = "step"
    BOLTS = "bolts"


class Skipped(Fact, frozen=True, kw_only=True):
    """Something was left out for a reason; ``place`` is its key, ``hazards_not_read`` how many of a step were not."""

    KIND = "skipped"
    what: SkippedWhat
    place: str
    reason: Annotated[str, PERSONAL]
    hazards_not_read: int = 0
    stage: int | None = None
    turn: int | None = None
    run: int | None = None
    group: str = ""
    bolts: tuple[int, ...] = ()
