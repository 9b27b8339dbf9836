"""Which photos of the job count, and which steps go on without theirs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace as changed

from msgspec.structs import replace

from assistant.facts import Fact, photos
from assistant.session.evolving.confirmed import takes_back
from assistant.session.evolving.table import takes_up
from assistant.session.remembered import PhotoAt, PhotosTaken
from assistant.session.state import State


def _with(state: State, kept: PhotosTaken) -> State:
    return replace(state, photos=kept)


@takes_up(photos.PhotoTaken)
def _taken(state: State, fact: photos.PhotoTaken) -> State:
    """One more counts; a step that was left without has it now."""
    was = state.photos
    taken = (*was.taken, PhotoAt(fact.number, fact.step, fact.sha256, fact.came_ms))
    return _with(state, PhotosTaken(taken, max(was.last, fact.number), was.left_out - {fact.step}))


@takes_up(photos.PhotoDropped)
def _dropped(state: State, fact: photos.PhotoDropped) -> State:
    """One does not count any more; its number is not given again."""
    taken = tuple(one for one in state.photos.taken if one.number != fact.number)
    return _with(state, changed(state.photos, taken=taken))


@takes_up(photos.PhotoLeftOut)
def _left_out(state: State, fact: photos.PhotoLeftOut) -> State:
    """A step goes on without."""
    return _with(state, changed(state.photos, left_out=state.photos.left_out | {fact.step}))


@takes_up(photos.PhotoWanted)
def _wanted(state: State, fact: photos.PhotoWanted) -> State:
    """A step does not go on without any more."""
    return _with(state, changed(state.photos, left_out=state.photos.left_out - {fact.step}))


@takes_back(photos.PhotoTaken)
def _undo_taken(_: State, fact: photos.PhotoTaken) -> Sequence[Fact]:
    return (photos.PhotoDropped(number=fact.number),)


@takes_back(photos.PhotoLeftOut)
def _undo_left_out(_: State, fact: photos.PhotoLeftOut) -> Sequence[Fact]:
    return (photos.PhotoWanted(step=fact.step),)
