"""What "confirmed" does, by the class of the question that waits for it; the module that asks it enters it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from assistant.facts.asking import Question
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here


@dataclass(frozen=True, slots=True)
class Grant:
    """One class of questions: ``do`` puts the facts that do what was asked, with the reason ("" where none is wanted).

    The intents ``anew`` are taken at once in its place, where others only cancel it. ``otherwise`` is what "no" does,
    where that is an answer: it drops the question, and may ask the next one. ``passes``: it leads past the
    present step without its right answer, which a gate does not let happen (None: if it is about that, by its
    ``step``), and ``leaves_out``: without any. ``stands`` tells whether it can still be done after it was held back.
    """

    do: Callable[[Deciding, Any, str], None]
    anew: tuple[str, ...] = ()
    otherwise: Callable[[Deciding, Any], None] | None = None
    passes: bool | None = None
    leaves_out: bool = False
    stands: Callable[[Here, Any], bool] = lambda _here, _question: True


_GRANTS: dict[type[Question], Grant] = {}


def add_grant(
    question: type[Question],
    do: Callable[[Deciding, Any, str], None],
    *,
    anew: tuple[str, ...] = (),
    otherwise: Callable[[Deciding, Any], None] | None = None,
    passes: bool | None = None,
    leaves_out: bool = False,
    stands: Callable[[Here, Any], bool] = lambda _here, _question: True,
) -> None:
    """Let ``do`` do what a class of questions asks, once it is confirmed (see :class:`Grant`).

    Raises:
        ValueError: something else does.
    """
    if question in _GRANTS:
        raise ValueError(f"There are two grants for {question.__name__}.")
    _GRANTS[question] = Grant(do, anew, otherwise, passes, leaves_out, stands)


def grant_of(question: Question) -> Grant:
    """Return what belongs to the class of ``question``."""
    return _GRANTS[type(question)]
