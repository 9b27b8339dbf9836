"""A second person: who releases a gate that the right answer did not pass, and who witnesses what was done.

Nobody is known by the voice. A name is what somebody stated, and no entry says that it was proven.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, ClassVar

from assistant.facts.asking import Ask, Question
from assistant.facts.base import PERSONAL, Fact


class SecondWhat(StrEnum):
    """What a second person is asked for."""

    RELEASE = "release"
    WITNESS = "witness"


class AskRelease(Ask, frozen=True):
    """Let a gate be passed without its right answer; only the second person says the word."""

    WORD: ClassVar[str] = "i_release"

    step: str


class AskWitness(Ask, frozen=True):
    """Was it seen what was done in a step; only the second person says the word."""

    WORD: ClassVar[str] = "i_have_seen"

    step: str


class GateHeld(Fact, frozen=True, kw_only=True):
    """A gate was given another answer than the right one: what else would have been asked, and was not taken."""

    KIND = "gate_held"
    step: str
    question: Question


class GateFirst(Fact, frozen=True, kw_only=True):
    """The work would have gone past a gate that is not passed, and goes to it: ``step``."""

    KIND = "gate_first"
    step: str


class SecondAsked(Fact, frozen=True, kw_only=True):
    """A second person is asked for, and who that is."""

    KIND = "second_asked"
    what: SecondWhat
    step: str


class SecondNamed(Fact, frozen=True, kw_only=True):
    """The name of the second person was stated."""

    KIND = "second_named"
    what: SecondWhat
    step: str
    name: Annotated[str, PERSONAL]


class GateReleased(Fact, frozen=True, kw_only=True):
    """A second person released a gate; ``question`` is what was let through, None where it stays as it was answered.

    ``name`` is theirs as it was stated, ``operator`` is who works on the job ("" where no name was given).
    """

    KIND = "gate_released"
    step: str
    question: Question | None = None
    name: Annotated[str, PERSONAL] = ""
    operator: Annotated[str, PERSONAL] = ""
    reason: Annotated[str, PERSONAL] = ""


class Witnessed(Fact, frozen=True, kw_only=True):
    """A second person has seen what was done in a step; the names are as in :class:`GateReleased`."""

    KIND = "witnessed"
    step: str
    name: Annotated[str, PERSONAL] = ""
    operator: Annotated[str, PERSONAL] = ""


class NotWitnessed(Fact, frozen=True, kw_only=True):
    """No witness was at hand: the step is done, and stays open as not witnessed."""

    KIND = "not_witnessed"
    step: str


class LeftUnwitnessed(Fact, frozen=True, kw_only=True):
    """The job is closed, and these steps were done without the witness that they ask for."""

    KIND = "left_unwitnessed"
    steps: tuple[str, ...]
