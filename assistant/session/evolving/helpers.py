"""Second persons who help, and for how long; extra work without steps that is worked on."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from msgspec.structs import replace

from assistant.facts import Fact, extra, people
from assistant.session import helping
from assistant.session.evolving.confirmed import takes_back
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


@takes_up(people.HelperAsBefore)
def _as_before(state: State, fact: people.HelperAsBefore) -> State:
    """They help as they did before; who works on the job by now does not help at it."""
    was = None if fact.was is None else helping.Helping(fact.name, fact.was.ms, fact.was.since_ms, fact.was.away_ms)
    if was is not None and fact.name and fact.name == state.operator:
        was = dataclasses.replace(was, since_ms=0)
    return replace(state, helping=helping.helper_as_before(state.helping, fact.name, was))


@takes_back(people.HelperCame)
def _not_come(state: State, fact: people.HelperCame) -> Sequence[Fact]:
    return (_was(state, fact.name),)


@takes_back(people.HelperLeft)
def _not_left(state: State, fact: people.HelperLeft) -> Sequence[Fact]:
    return (_was(state, fact.name),)


def _was(state: State, name: str) -> people.HelperAsBefore:
    one = next((one for one in state.helping if one.name == name), None)
    was = None if one is None else people.HelperWas(one.ms, one.since_ms, one.away_ms)
    return people.HelperAsBefore(name=name, was=was)


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
