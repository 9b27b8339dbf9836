"""Bolts that are held open, and what was dropped."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.codes import FreedHow
from assistant.facts.kinds import trouble
from assistant.session.evolving.kinds.tighten import as_new, loose, undone
from assistant.session.evolving.table import takes_up
from assistant.session.state import HeldBolt, Loose, State


@takes_up(trouble.BoltHeld)
def _held(state: State, fact: trouble.BoltHeld) -> State:
    """A bolt cannot go on, and what it had got does not count any more.

    It may be held again because it is taken back that another one is in: the further angle of that one does not count.
    """
    key = (fact.group, fact.bolt)
    state = replace(
        state,
        held={**_but(state, key), key: HeldBolt(fact.what, fact.step or "")},
        turned={bolt: of for bolt, of in state.turned.items() if (of, bolt[3]) != key},
        troubled=state.troubled | {key},
        cautioned=state.cautioned | {fact.what.value},
        worn=state.worn | {key} if fact.worn else state.worn,
    )
    return undone(loose(state, fact.group, (fact.bolt,)), fact.undone, fact.reopened)


@takes_up(trouble.BoltFreed)
def _freed(state: State, fact: trouble.BoltFreed) -> State:
    """A bolt is in again; another one is not worn."""
    key = (fact.group, fact.bolt)
    state = as_new(state, fact.group, (fact.bolt,)) if fact.how is FreedHow.REPLACED else state
    return replace(state, held=_but(state, key))


def _but(state: State, key: tuple[str, int]) -> dict[tuple[str, int], HeldBolt]:
    return {bolt: held for bolt, held in state.held.items() if bolt != key}


@takes_up(trouble.Dropped)
def _dropped(state: State, fact: trouble.Dropped) -> State:
    """Something may lie in the machine."""
    loose = Loose(fact.step or "", state.visit, fact.group, fact.bolt or 0)
    return replace(
        state,
        dropped={**state.dropped, fact.number: loose},
        dropped_last=max(state.dropped_last, fact.number),
        cautioned=state.cautioned | {"dropped"},
    )


@takes_up(trouble.DroppedFound)
def _dropped_found(state: State, fact: trouble.DroppedFound) -> State:
    """It is out again."""
    return replace(state, dropped={number: one for number, one in state.dropped.items() if number != fact.number})
