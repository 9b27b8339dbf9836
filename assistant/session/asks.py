"""What waits for "confirmed": one entry for each class of questions, made by the module that asks it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from assistant.facts.asking import Question

if TYPE_CHECKING:
    from assistant.session.deciding.core import Deciding
    from assistant.session.telling.core import Telling


def _nothing(*_: Any) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True, slots=True)
class AskPart:
    """One class of questions. Each function gets the job as it stands, and the question.

    ``granted`` puts the facts that do what was asked, with the reason that was given ("" where none is asked for);
    ``words`` read it back before there is a reason, ``summary`` says behind the reason what it is for, and ``told``
    what belongs between the two. The intents ``anew`` are taken at once in its place, where others only cancel it.
    """

    granted: Callable[[Deciding, Any, str], None]
    words: Callable[[Telling, Any], Sequence[str]] = _nothing
    summary: Callable[[Telling, Any], str] = lambda _telling, _question: ""
    told: Callable[[Telling, Any], Sequence[str]] = _nothing
    anew: tuple[str, ...] = ()
    reads_again: bool = False
    """Whether the place is read out again when somebody cancels it."""


_PARTS: dict[type[Question], AskPart] = {}


def add_ask(question: type[Question], part: AskPart) -> None:
    """Make a class of questions known to the session.

    Raises:
        ValueError: it is known already.
    """
    if _PARTS.setdefault(question, part) is not part:
        raise ValueError(f"There are two parts for {question.__name__}.")


def part_of_ask(question: Question) -> AskPart:
    """Return what belongs to the class of ``question``."""
    return _PARTS[type(question)]
