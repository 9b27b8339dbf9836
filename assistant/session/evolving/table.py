"""Which function takes up which class of facts."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from assistant.facts import Fact
from assistant.session.evolving.confirmed import remember
from assistant.session.state import State

_F = TypeVar("_F", bound=Fact)
_BY_CLASS: dict[type[Fact], Callable[[State, Any], State]] = {}


def takes_up(cls: type[_F]) -> Callable[[Callable[[State, _F], State]], Callable[[State, _F], State]]:
    """Let the function below take up facts of the class ``cls``.

    Raises:
        ValueError: another one does.
    """

    def put(function: Callable[[State, _F], State]) -> Callable[[State, _F], State]:
        if cls in _BY_CLASS:
            raise ValueError(f"Two functions take up {cls.__name__}.")
        _BY_CLASS[cls] = function
        return function

    return put


def evolve(state: State, fact: Fact) -> State:
    """Return the state behind ``fact``; one that changes nothing about the work leaves it as it is."""
    function = _BY_CLASS.get(type(fact))
    return remember(state, state if function is None else function(state, fact), fact)


def fold(facts: Iterable[Fact], state: State = State()) -> State:  # noqa: B008 (frozen)
    """Return the state that ``facts`` lead to, from ``state`` on."""
    for fact in facts:
        state = evolve(state, fact)
    return state
