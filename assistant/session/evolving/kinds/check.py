"""What was answered or read off in a step that looks or measures."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import Quantity
from assistant.facts.kinds import check
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import LastReading
from assistant.session.state import State


@takes_up(check.CheckAnswered)
def _check_answered(state: State, fact: check.CheckAnswered) -> State:
    """A check has its answer."""
    state = replace(state, answers={**state.answers, fact.step: fact.yes})
    return deviates(state, fact.step, is_so=fact.yes is not fact.expected)


@takes_up(check.ReadOff)
def _read_off(state: State, fact: check.ReadOff) -> State:
    """A check has its value."""
    read = LastReading(fact.step, Quantity(fact.value, fact.unit))
    state = replace(state, answers={**state.answers, fact.step: str(fact.value)}, last_reading=read)
    return deviates(state, fact.step, is_so=not fact.in_limits)
