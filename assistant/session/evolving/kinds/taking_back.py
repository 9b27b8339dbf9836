"""What is open again at bolts when a confirmation is taken back, and what of them can be.

Words undo no further angle: such bolts stay turned, and must be loosened or replaced before anything else.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from assistant.facts import Fact, asking, taking_back
from assistant.facts.codes import Way
from assistant.facts.kinds import tighten
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.kinds.tighten import unread
from assistant.session.evolving.table import takes_up
from assistant.session.state import State

# Taken back


@takes_up(tighten.BoltsTakenBack)
def _bolts_taken_back(state: State, fact: tighten.BoltsTakenBack) -> State:
    """Bolts are open again."""
    places = {(fact.step, fact.turn, fact.run, bolt) for bolt in fact.bolts}
    done = {bolt for bolt in fact.must_loosen if (fact.step, fact.turn, fact.run, bolt) in state.bolts}
    last, read = state.last_torque, state.last_reading
    if last is not None and (last.step, last.stage, last.group, last.bolts) == _what(fact):
        last = None
    if read is not None and (read.step, read.group, (read.bolt,)) == (fact.step, fact.group, fact.bolts):
        read = None
    state = unread(state, places)
    return replace(
        state,
        last_torque=last,
        last_reading=read,
        bolts=state.bolts - places,
        off_accepted=state.off_accepted - places,
        off={bolt: reading for bolt, reading in state.off.items() if bolt not in places},
        bolts_skipped={bolt: why for bolt, why in state.bolts_skipped.items() if bolt not in places},
        to_loosen=state.to_loosen | {(fact.group, bolt) for bolt in done},
    )


def _what(fact: tighten.BoltsTakenBack) -> tuple[str, int, str, tuple[int, ...]]:
    return fact.step, fact.stage, fact.group, fact.bolts


@takes_up(tighten.BoltsAsBefore)
def _bolts_as_before(state: State, fact: tighten.BoltsAsBefore) -> State:
    """Bolts were not loosened or replaced: those that were turned still are."""
    rest = state.worn - {(fact.group, bolt) for bolt in fact.bolts}
    return replace(
        state,
        worn=rest | {(fact.group, bolt) for bolt in fact.worn},
        to_loosen=state.to_loosen | {(fact.group, bolt) for bolt in fact.must_loosen},
    )


@takes_up(tighten.NewTakenBack)
def _new_taken_back(state: State, fact: tighten.NewTakenBack) -> State:
    """Fasteners must be said to be new again."""
    if fact.worn:
        return replace(state, worn=state.worn | {(fact.group, bolt) for bolt in fact.worn})
    return replace(state, renewed=state.renewed - {(fact.step, fact.group)})


# What can be taken back


@takes_back(tighten.BoltsTightened)
def _tightened(state: State, fact: tighten.BoltsTightened) -> Sequence[Fact]:
    must_loosen: Collection[int] = ()
    if fact.way is Way.ANGLE:
        must_loosen = fact.bolts
    elif fact.way is Way.LOOSEN:
        must_loosen = _turned(state, fact.group, fact.bolts)
    return (_open_again(fact, fact.bolts, must_loosen), *_reopened(state, fact))


def _reopened(state: State, fact: tighten.BoltsTightened | tighten.OutOfLimits) -> Sequence[Fact]:
    """Open a step that was done before: with bolts of it open again, nobody goes past it as if it were."""
    return [taking_back.Reopened(place=fact.step)] * (fact.step in state.done)


def _open_again(
    fact: tighten.BoltsTightened | tighten.OutOfLimits, bolts: Collection[int], must_loosen: Collection[int] = ()
) -> tighten.BoltsTakenBack:
    return tighten.BoltsTakenBack(
        step=fact.step, stage=fact.stage, turn=fact.turn, run=fact.run, group=fact.group, bolts=tuple(bolts),
        must_loosen=tuple(must_loosen),
    )  # fmt: skip


def _turned(state: State, group: str, bolts: Collection[int]) -> tuple[int, ...]:
    """Return those of ``bolts`` that got a further angle, and were neither loosened nor replaced since."""
    turned = {bolt[3] for bolt, of in state.turned.items() if of == group}
    return tuple(bolt for bolt in bolts if bolt in turned or (group, bolt) in state.to_loosen)


@takes_back(tighten.OutOfLimits)
def _out_of_limits(state: State, fact: tighten.OutOfLimits) -> Sequence[Fact]:
    return (_open_again(fact, (fact.bolt,)), *_reopened(state, fact))


@takes_back(asking.Skipped)
def _left_out(state: State, fact: asking.Skipped) -> Sequence[Fact] | None:
    """Bolts that were tightened before stay so."""
    if fact.what is not asking.SkippedWhat.BOLTS:
        return None
    turn, run = fact.turn or 0, fact.run or 0
    left = tuple(bolt for bolt in fact.bolts if (fact.place, turn, run, bolt) not in state.bolts)
    return (
        tighten.BoltsTakenBack(
            step=fact.place, stage=fact.stage or 0, turn=turn, run=run, group=fact.group, bolts=left
        ),
    )  # fmt: skip


@takes_back(tighten.BoltsLoosened, always=True)
def _loosened(state: State, fact: tighten.BoltsLoosened) -> Sequence[Fact]:
    return (_as_before(state, fact),)


@takes_back(tighten.BoltReplaced, always=True)
def _replaced(state: State, fact: tighten.BoltReplaced) -> Sequence[Fact]:
    return (_as_before(state, fact),)


def _as_before(state: State, fact: tighten.BoltsLoosened | tighten.BoltReplaced) -> tighten.BoltsAsBefore:
    return tighten.BoltsAsBefore(
        step=fact.step,
        group=fact.group,
        bolts=fact.bolts,
        must_loosen=_turned(state, fact.group, fact.bolts),
        worn=tuple(bolt for bolt in fact.bolts if (fact.group, bolt) in state.worn),
    )


@takes_back(tighten.NewConfirmed)
def _new_confirmed(state: State, fact: tighten.NewConfirmed) -> Sequence[Fact]:
    worn = tuple(bolt for bolt in fact.bolts if (fact.group, bolt) in state.worn) if fact.in_place_of_worn else ()
    return (tighten.NewTakenBack(step=fact.step, group=fact.group, worn=worn),)
