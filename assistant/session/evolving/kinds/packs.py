"""Which packs are proposed, which of them are in, and what is in the box of the bay."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import TypeVar

from msgspec.structs import replace

from assistant.facts import Fact, packs
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.state import State

_P = TypeVar("_P", packs.PackFound, packs.PackPutIn, packs.PackWorkedOut)


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
        return _with(state, worked_out=_without(state.packs.worked_out, fact.pack))
    rest = _without(state.packs.put_in, fact.pack)
    if fact.was is not None:
        was = fact.was
        rest[fact.pack] = packs.PackPutIn(step=was.step, pack=fact.pack, unit=was.unit, shims=was.shims)
    return _with(state, put_in=rest)


@takes_up(packs.PackFound)
def _found(state: State, fact: packs.PackFound) -> State:
    """It is the pack that is in, whatever was put in before."""
    return _with(state, found={**state.packs.found, fact.pack: fact}, put_in=_without(state.packs.put_in, fact.pack))


@takes_up(packs.PackFoundAsBefore)
def _found_as_before(state: State, fact: packs.PackFoundAsBefore) -> State:
    """What was known of the pack before is what is known of it."""
    found, put_in = _without(state.packs.found, fact.pack), _without(state.packs.put_in, fact.pack)
    if (was := fact.found) is not None:
        found[fact.pack] = packs.PackFound(step=was.step, pack=fact.pack, unit=was.unit, shims=was.shims)
    if (was := fact.put_in) is not None:
        put_in[fact.pack] = packs.PackPutIn(step=was.step, pack=fact.pack, unit=was.unit, shims=was.shims)
    return _with(state, found=found, put_in=put_in)


def _without(known: Mapping[str, _P], pack: str) -> dict[str, _P]:
    return {key: one for key, one in known.items() if key != pack}


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
    return (packs.PackAsBefore(pack=fact.pack, was=_was(state.packs.put_in.get(fact.pack))),)


@takes_back(packs.PackFound)
def _not_found(state: State, fact: packs.PackFound) -> Sequence[Fact]:
    """What was found before it, or put in, is the pack that counts."""
    found, put_in = (_was(known.get(fact.pack)) for known in (state.packs.found, state.packs.put_in))
    return (packs.PackFoundAsBefore(pack=fact.pack, found=found, put_in=put_in),)


def _was(one: packs.PackFound | packs.PackPutIn | None) -> packs.PackWas | None:
    return None if one is None else packs.PackWas(one.step, one.unit, one.shims)
