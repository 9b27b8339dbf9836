"""What values that were read off tell of bolts."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts.kinds import judged
from assistant.session.evolving.kinds.tighten import unread
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import InDoubt, LastReading
from assistant.session.state import Bolt, State
from assistant.session.told import Told, ToldKind


@takes_up(judged.LengthsJudged)
def _lengths_judged(state: State, fact: judged.LengthsJudged) -> State:
    """Bolts that are too long are worn: new ones must come. What was measured before of the others counts no more."""
    measured = {(fact.group, bolt) for bolt in fact.bolts}
    beyond = {(fact.group, bolt) for bolt in fact.beyond}
    gone = state.too_long & measured
    return replace(state, worn=(state.worn - gone) | beyond, too_long=(state.too_long - measured) | beyond)


@takes_up(judged.BoltRead)
def _bolt_read(state: State, fact: judged.BoltRead) -> State:
    """A value was read off at a bolt; what was thought of the one before it counts no more."""
    bolt = _bolt(fact)
    state = unread(state, {bolt})
    last = LastReading(fact.step, fact.reading, fact.group, fact.bolt)
    return replace(state, read={**state.read, bolt: fact.reading}, last_reading=last)


@takes_up(judged.BoltDoubted)
def _bolt_doubted(state: State, fact: judged.BoltDoubted) -> State:
    """A bolt waits for a decision, and holds nothing up."""
    bolt = _bolt(fact)
    known = state.doubts.get(bolt)
    least, most = (known.least, known.most) if known else (None, None)
    doubt = InDoubt(fact.group, fact.what, fact.side, least, most, by_neighbours=True)
    return replace(state, doubts={**state.doubts, bolt: doubt})


@takes_up(judged.JointDoubted)
def _joint_doubted(state: State, fact: judged.JointDoubted) -> State:
    """A bolt that its joint does not account for waits for a decision too."""
    doubt = InDoubt(fact.group, fact.what, fact.side, fact.least, fact.most)
    return replace(state, doubts={**state.doubts, _bolt(fact): doubt})


@takes_up(judged.DoubtLeft)
def _doubt_left(state: State, fact: judged.DoubtLeft) -> State:
    """A doubted bolt stays as it is."""
    bolt = _bolt(fact)
    return replace(
        state,
        doubts={one: doubt for one, doubt in state.doubts.items() if one != bolt},
        doubts_left=state.doubts_left | {bolt},
        told=(*state.told, Told(ToldKind.DEVIATION, fact.step, fact.reason)),
    )


def _bolt(fact: judged.BoltRead | judged.BoltDoubted | judged.JointDoubted | judged.DoubtLeft) -> Bolt:
    return fact.step, fact.turn, fact.run, fact.bolt
