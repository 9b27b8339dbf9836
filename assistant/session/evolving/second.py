"""Gates, and the second person who releases one or witnesses a step."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import second
from assistant.session.evolving.table import takes_up
from assistant.session.helping import helped_for
from assistant.session.state import Second, State


@takes_up(second.GateHeld)
def _held(state: State, fact: second.GateHeld) -> State:
    """A gate was not passed: what was seen of it before does not count any more."""
    released = {step: to_come for step, to_come in state.released.items() if step != fact.step}
    held = {**state.gates_held, fact.step: fact.question}
    return replace(state, gates_held=held, released=released, witnessed=state.witnessed - {fact.step})


@takes_up(second.SecondAsked)
def _asked(state: State, fact: second.SecondAsked) -> State:
    """Somebody is asked for; who witnessed the step before saw something else."""
    witnessed = state.witnessed - {fact.step} if fact.what is second.SecondWhat.WITNESS else state.witnessed
    return replace(state, second=Second(fact.what, fact.step), witnessed=witnessed)


@takes_up(second.SecondNamed)
def _named(state: State, fact: second.SecondNamed) -> State:
    """It is known who that is."""
    seconds = state.seconds if fact.name in state.seconds else (*state.seconds, fact.name)
    return replace(state, second=Second(fact.what, fact.step, fact.name, state.spent.last_ms), seconds=seconds)


def _helped(state: State, name: str) -> State:
    """Count the time of a second person from their name to their word."""
    if state.second is None or not state.second.since_ms:
        return state
    return replace(state, helping=helped_for(state.helping, name, state.spent.last_ms - state.second.since_ms))


@takes_up(second.GateReleased)
def _released(state: State, fact: second.GateReleased) -> State:
    """A gate is open for what the facts behind this one do."""
    state = _helped(state, fact.name)
    held = {step: question for step, question in state.gates_held.items() if step != fact.step}
    seen = state.witnessed | {fact.step} if fact.question is None else state.witnessed
    released = {**state.released, fact.step: fact.question is not None}
    return replace(state, second=None, gates_held=held, released=released, witnessed=seen)


@takes_up(second.Witnessed)
def _witnessed(state: State, fact: second.Witnessed) -> State:
    """Somebody has seen it."""
    state = _helped(state, fact.name)
    return replace(state, second=None, witnessed=state.witnessed | {fact.step})


@takes_up(second.NotWitnessed)
def _not_witnessed(state: State, _: second.NotWitnessed) -> State:
    """Nobody is at hand."""
    return replace(state, second=None)
