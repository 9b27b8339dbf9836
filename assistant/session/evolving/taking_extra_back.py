"""What is as before when an answer that opened a branch, or a word about extra work, is taken back.

What a finding says is the word of a person, and stays.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import Fact, extra, second
from assistant.facts.taking_back import Reopened
from assistant.session.evolving.confirmed import takes_back
from assistant.session.state import ExtraIs, State


@takes_back(extra.BranchTaken)
def _taken(state: State, fact: extra.BranchTaken) -> Sequence[Fact]:
    """A branch that had been open before stays so: what was done in it is done anew."""
    return () if fact.branch in state.branches else (extra.BranchLeft(branch=fact.branch),)


@takes_back(extra.BranchLeft)
def _left(state: State, fact: extra.BranchLeft) -> Sequence[Fact]:
    """It is open again, and its work stands as it did: what is put last is undone first."""
    if fact.branch not in state.branches:
        return ()
    opened = extra.BranchTaken(branch=fact.branch, steps=(), round=state.branches[fact.branch])
    work = state.extra.get(fact.branch)
    if work is None:
        return (opened,)
    return (opened, *_as_before(state, fact.branch), extra.ExtraAsked(work=fact.branch, number=work.number))


@takes_back(extra.StopPassed)
def _stop_passed(_: State, fact: extra.StopPassed) -> Sequence[Fact]:
    return (Reopened(place=fact.place),)


@takes_back(second.GateReleased)
def _released(_: State, fact: second.GateReleased) -> Sequence[Fact]:
    """Nothing passes the gate any more but what passes it anew."""
    return (Reopened(place=fact.step),)


@takes_back(second.Witnessed)
def _witnessed(_: State, fact: second.Witnessed) -> Sequence[Fact]:
    """The step is open again, and who witnesses it is asked anew once it is done."""
    return (Reopened(place=fact.step),)


@takes_back(extra.ExtraGranted)
def _granted(state: State, fact: extra.ExtraGranted) -> Sequence[Fact]:
    return _as_before(state, fact.work)


@takes_back(extra.ExtraDeclined)
def _declined(state: State, fact: extra.ExtraDeclined) -> Sequence[Fact]:
    return _as_before(state, fact.work)


@takes_back(extra.ExtraDone)
def _done(state: State, fact: extra.ExtraDone) -> Sequence[Fact]:
    return _as_before(state, fact.work)


def _as_before(state: State, work: str) -> Sequence[Fact]:
    """Return the facts by which extra work stands as it did: granted as it was, or else asked about."""
    was = state.extra.get(work)
    if was is None:
        return ()
    if was.stands is ExtraIs.GRANTED and was.role is not None and was.way is not None:
        return (
            extra.ExtraGranted(
                work=work, number=was.number, role=was.role, way=was.way, name=was.name, at_ms=was.at_ms
            ),
        )  # fmt: skip
    return (extra.ExtraAsked(work=work, number=was.number),)
