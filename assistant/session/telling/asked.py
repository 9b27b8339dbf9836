"""What is read back of a question, by its class; the module that tells it enters it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.facts.asking import Question
from assistant.session.telling.core import Telling


def _nothing(*_: Any) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True, slots=True)
class ReadBack:
    """One class of questions; each function gets the job as it stands, and the question.

    ``words`` read it back before there is a reason, ``summary`` says behind the reason what it is for, and ``told``
    what belongs between the two.
    """

    words: Callable[[Telling, Any], Sequence[str]] = _nothing
    summary: Callable[[Telling, Any], str] = lambda _telling, _question: ""
    told: Callable[[Telling, Any], Sequence[str]] = _nothing
    before_reason: Callable[[Telling, Any], Sequence[str]] = _nothing
    """What must be heard before the reason is asked for, where nothing was read back before."""
    reasoned: Callable[[Telling, Any, str], Sequence[str]] | None = None
    """Reads it back with its reason; None where it is read back as any other is."""
    reads_again: bool = False
    """Whether the place is read out again when somebody cancels it."""


_READ_BACKS: dict[type[Question], ReadBack] = {}


def add_read_back(question: type[Question], read_back: ReadBack) -> None:
    """Let a class of questions be read back.

    Raises:
        ValueError: something else reads it back.
    """
    if question in _READ_BACKS:
        raise ValueError(f"There are two ways to read back {question.__name__}.")
    _READ_BACKS[question] = read_back


def read_back_of(question: Question) -> ReadBack:
    """Return what belongs to the class of ``question``."""
    return _READ_BACKS[type(question)]
