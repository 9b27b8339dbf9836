"""Second persons who help, and for how long; extra work without steps that is worked on."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import extra, people
from assistant.session import helping
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


@takes_up(people.HelperCame)
def _came(state: State, fact: people.HelperCame) -> State:
    """Somebody is there."""
    return replace(state, helping=helping.comes_to_help(state.helping, fact.name, fact.at_ms, state.spent.away_ms))


@takes_up(people.HelperLeft)
def _left(state: State, fact: people.HelperLeft) -> State:
    """They are not there any more."""
    return replace(state, helping=helping.helps_until(state.helping, fact.name, fact.at_ms, state.spent.away_ms))


@takes_up(extra.ExtraMinutes)
def _minutes(state: State, fact: extra.ExtraMinutes) -> State:
    """It is known about how long extra work takes."""
    if fact.work not in state.extra:
        return state
    row = replace(state.extra[fact.work], minutes=fact.minutes)
    return replace(state, extra={**state.extra, fact.work: row})


@takes_up(extra.FindingBegun)
def _begun(state: State, fact: extra.FindingBegun) -> State:
    """Granted work without steps is worked on; the job stays where it is."""
    return replace(state, clocked=fact.work)


@takes_up(extra.FindingLeft)
def _finding_left(state: State, fact: extra.FindingLeft) -> State:
    """It is not worked on any more, done or not."""
    return replace(state, clocked="" if state.clocked == fact.work else state.clocked)
