"""Which packs are proposed, which of them are in, and what is in the box of the bay."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from msgspec.structs import replace

from assistant.facts import Fact, packs
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.state import State


def _with(state: State, **changes: object) -> State:
    return replace(state, packs=dataclasses.replace(state.packs, **changes))  # type: ignore[arg-type]


@takes_up(packs.PackWorkedOut)
def _worked_out(state: State, fact: packs.PackWorkedOut) -> State:
    """There is a proposal; one for the same before does not count."""
    return _with(state, worked_out={**state.packs.worked_out, fact.pack: fact})


@takes_up(packs.PackPutIn)
def _put_in(state: State, fact: packs.PackPutIn) -> State:
    """The proposed pack is in: from now on readings count from it."""
    return _with(state, put_in={**state.packs.put_in, fact.pack: fact})


@takes_up(packs.PackAsBefore)
def _as_before(state: State, fact: packs.PackAsBefore) -> State:
    """Another pack counts as the one that is in; or nothing is proposed any more."""
    if fact.dropped:
        return _with(state, worked_out={key: one for key, one in state.packs.worked_out.items() if key != fact.pack})
    rest = {key: one for key, one in state.packs.put_in.items() if key != fact.pack}
    if fact.was is not None:
        was = fact.was
        rest[fact.pack] = packs.PackPutIn(step=was.step, pack=fact.pack, unit=was.unit, shims=was.shims)
    return _with(state, put_in=rest)


@takes_up(packs.BoxKnown)
def _box(state: State, fact: packs.BoxKnown) -> State:
    """What is in the box is known anew."""
    return _with(state, box=fact.shims)


@takes_back(packs.PackWorkedOut)
def _not_worked_out(_: State, fact: packs.PackWorkedOut) -> Sequence[Fact]:
    """The reading is open again, so nothing of it is proposed."""
    return (packs.PackAsBefore(pack=fact.pack, dropped=True),)


@takes_back(packs.PackPutIn)
def _not_in(state: State, fact: packs.PackPutIn) -> Sequence[Fact]:
    """The pack before it is the one that counts."""
    before = state.packs.put_in.get(fact.pack)
    was = None if before is None else packs.PackWas(before.step, before.unit, before.shims)
    return (packs.PackAsBefore(pack=fact.pack, was=was),)
