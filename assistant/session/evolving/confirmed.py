"""What can be taken back: each answer of a person that confirmed something, with the facts that open it again.

This is the one door for whatever can be confirmed: ``takes_back`` says for a class of facts which facts undo it. A kind
of step, or any other part, enters its own; nobody else has to know of it. :mod:`assistant.session.telling.taking_back`
has the door for how it is called.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from msgspec.structs import replace

from assistant.facts import Fact
from assistant.facts.inputs import Understood
from assistant.facts.photos import PhotoCame
from assistant.facts.steps import StepAnswer
from assistant.facts.taking_back import TakenBack
from assistant.session.state import Confirmation, State

MOST_CONFIRMED = 100
"""So many confirmations can be taken back, one after the other; ours: more than anybody remembers."""
_NOBODY = -1

_F = TypeVar("_F", bound=Fact)
_Undo = Callable[[State, Any], "Sequence[Fact] | None"]
_BY_CLASS: dict[type[Fact], list[tuple[_Undo, bool]]] = {}

_ANSWER: list[tuple[_Undo, bool]] = [(lambda _state, _fact: (), False)]
"""An answer of any kind of step is gone with the step that is open again."""


def takes_back(
    cls: type[_F], *, always: bool = False
) -> Callable[[Callable[[State, _F], Sequence[Fact] | None]], Callable[[State, _F], Sequence[Fact] | None]]:
    """Let the function below say which facts undo one of the class ``cls``, from the state before it and the fact.

    It returns None where that fact confirms nothing, or where that is for another one to say. The facts that it returns
    say by themselves what is open again, need no rule of today, and open things only: nothing that counts as done may
    come of them. ``always``: it can be taken back although nothing in the state changes with it; else it is passed over
    when all of it was undone since.
    """

    def put(function: Callable[[State, _F], Sequence[Fact] | None]) -> Callable[[State, _F], Sequence[Fact] | None]:
        _BY_CLASS.setdefault(cls, []).append((function, always))
        return function

    return put


def can_be_taken_back(fact: Fact) -> bool:
    """Return whether a fact is of a class that may confirm something."""
    return isinstance(fact, StepAnswer) or type(fact) in _BY_CLASS


def _heard_ms(given: Fact) -> int:
    """Return when what a person brought about was heard, or came [ms]; below 0 where no person did."""
    match given:
        case Understood(ended_ms=at_ms) | PhotoCame(came_ms=at_ms):
            return at_ms
    return _NOBODY


def remember(before: State, after: State, fact: Fact) -> State:
    """Return ``after``, the state behind ``fact``, with what can be taken back of it."""
    if fact.IS_INPUT:
        heard_ms = _heard_ms(fact)
        return after if after.answering_ms == heard_ms else replace(after, answering_ms=heard_ms)
    if isinstance(fact, TakenBack):
        # What is put behind it says only how things are again; to take that back would open what nobody granted.
        return replace(after, answering_ms=_NOBODY)
    entered = _BY_CLASS.get(type(fact)) or (_ANSWER if isinstance(fact, StepAnswer) else None)
    if entered is None or before.answering_ms == _NOBODY:
        return after
    undone = [(undo(before, fact), always) for undo, always in entered]
    back = [one for found, _ in undone if found is not None for one in found]
    always = any(found is not None and lasts for found, lasts in undone)
    if all(found is None for found, _ in undone):
        return after
    if before.answering_ms == 0 and after.confirmed:
        *others, last = after.confirmed
        more = replace(
            last, facts=(*last.facts, fact), back=(*last.back, *back), always=last.always or always
        )  # fmt: skip
        return replace(after, confirmed=(*others, more))
    one = Confirmation(
        before.answering_ms, before.place, before.thing, before.at_bolt.get(before.place), before.operator,
        before.shift, (fact,), tuple(back), always,
    )  # fmt: skip
    return replace(after, answering_ms=0, confirmed=(*after.confirmed, one)[-MOST_CONFIRMED:])
