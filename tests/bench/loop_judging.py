"""What came of an utterance in the closed loop: whether it was what was meant, and whether anything was done."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.events import Command
from assistant.facts import Fact
from assistant.facts.asking import Asked, AskedOn, Cancelled, Dictated, DictationBegun
from assistant.facts.asking_back import AnsweredBack, AskedBack
from assistant.facts.going import Refused
from assistant.facts.inputs import NotUnderstood, Understood, UnderstoodOf, UnsureOf
from assistant.facts.kinds.counting import Miscounted


def was_it(fact: Fact, meant: Command) -> bool:
    """Return whether ``fact`` is that ``meant`` was understood."""
    if not isinstance(fact, Understood):
        return False
    name = fact.name if isinstance(fact, UnderstoodOf) else ""
    return (fact.intent, fact.number, name) == (meant.intent, meant.number, meant.name)


def does_something(brought: Sequence[Fact]) -> bool:
    """Return whether facts move the job, put something down, or drop words that were taken down.

    What is only read back does not, or asked for a reason, or dropped before it was done; nor what is refused, as a
    number that is said back because another was expected.
    """
    return any(not _is_nothing(fact) for fact in brought)


def _is_nothing(fact: Fact) -> bool:
    match fact:
        case DictationBegun(what=what):
            return what is Dictated.REASON
        case Cancelled(what=code):
            return code not in set(Dictated)
    return isinstance(fact, Refused | Asked | AskedOn | Miscounted | AskedBack | AnsweredBack)


def as_told(fact: Fact) -> str:
    """Return what an utterance was taken for."""
    match fact:
        case UnsureOf(intent=intent):
            return f"{intent}?"
        case NotUnderstood(why=why, text=text):
            return f"{why} ({text})"
        case Understood(intent=intent, number=number):
            return intent if number is None else f"{intent} {number}"
    return "nothing"


def is_input(fact: Fact) -> bool:
    """Return whether ``fact`` is what came of an utterance."""
    return isinstance(fact, Understood | NotUnderstood)
