"""How often bolts are tightened again, and what is open again of that when a confirmation is taken back."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from assistant.facts import Fact
from assistant.facts.codes import FreedHow, ReadAt, Side
from assistant.facts.kinds import retightened, tighten, trouble
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import InDoubt
from assistant.session.state import State


@takes_up(retightened.RetighteningCounted)
def _counted(state: State, fact: retightened.RetighteningCounted) -> State:
    """Bolts came loose once more; new ones must come for those that are spent."""
    counted = {(fact.group, bolt): times for bolt, times in zip(fact.bolts, fact.times, strict=False)}
    return replace(
        state,
        retightened={**state.retightened, **counted},
        came_loose=state.came_loose | counted.keys(),
        worn=state.worn | {(fact.group, bolt) for bolt in fact.spent},
    )


@takes_up(retightened.RetighteningAsBefore)
def _as_before(state: State, fact: retightened.RetighteningAsBefore) -> State:
    """They did not come loose, or are no new ones."""
    keys = {(fact.group, bolt) for bolt in fact.bolts}
    kept = {bolt: times for bolt, times in state.retightened.items() if bolt not in keys}
    before = {(fact.group, bolt): times for bolt, times in zip(fact.bolts, fact.times, strict=False) if times}
    return replace(
        state,
        retightened={**kept, **before},
        came_loose=(state.came_loose - keys) | {(fact.group, bolt) for bolt in fact.loose},
        worn=state.worn - {(fact.group, bolt) for bolt in fact.not_spent},
    )


@takes_up(retightened.MovedOnEarly)
def _moved_on(state: State, fact: retightened.MovedOnEarly) -> State:
    """A bolt waits for a decision, and holds nothing up."""
    bolt = (fact.step, fact.turn, fact.run, fact.bolt)
    return replace(state, doubts={**state.doubts, bolt: InDoubt(fact.group, ReadAt.TORQUE, Side.BELOW)})


# What can be taken back: it goes with the confirmation of which it came


@takes_back(retightened.RetighteningCounted)
def _count_back(state: State, fact: retightened.RetighteningCounted) -> Sequence[Fact] | None:
    if state.answering_ms != 0:
        return None  # nobody confirmed anything with it
    not_spent = tuple(bolt for bolt in fact.spent if (fact.group, bolt) not in state.worn)
    return (_now(state, fact.group, fact.bolts, not_spent),)


@takes_back(tighten.BoltReplaced, always=True)
def _replaced(state: State, fact: tighten.BoltReplaced) -> Sequence[Fact] | None:
    return _known(state, fact.group, fact.bolts)


@takes_back(tighten.NewConfirmed)
def _new(state: State, fact: tighten.NewConfirmed) -> Sequence[Fact] | None:
    return _known(state, fact.group, fact.bolts)


@takes_back(trouble.BoltFreed)
def _freed(state: State, fact: trouble.BoltFreed) -> Sequence[Fact] | None:
    return _known(state, fact.group, (fact.bolt,)) if fact.how is FreedHow.REPLACED else None


def _known(state: State, group: str, bolts: Collection[int]) -> Sequence[Fact] | None:
    """Return that bolts are the ones of before, where it is known how often those were tightened again."""
    known = [bolt for bolt in bolts if (group, bolt) in state.retightened]
    return (_now(state, group, known, ()),) if known else None


def _now(
    state: State, group: str, bolts: Collection[int], not_spent: tuple[int, ...]
) -> retightened.RetighteningAsBefore:
    return retightened.RetighteningAsBefore(
        group=group,
        bolts=tuple(bolts),
        times=tuple(state.retightened.get((group, bolt), 0) for bolt in bolts),
        loose=tuple(bolt for bolt in bolts if (group, bolt) in state.came_loose),
        not_spent=not_spent,
    )
