"""Locks that are in, or not in, against what a step needs: the step that moves one may have been left out."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.procedure.model import Step
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import StepPlace


def wrong(here: Here, step: Step) -> tuple[list[str], list[str]]:
    """Return the ids of locks that are still in before ``step`` moves what they hold, and of those that are not in."""
    held = held_now(here)
    loose = held - {*step.against, step.unlock} if moves(step) else set()
    return _in_order(here, loose), _in_order(here, set(step.against) - held - {step.lock})


def moves(step: Step) -> bool:
    """Return whether ``step`` moves what a lock holds, or puts a torque on it."""
    return bool(step.turns or (part_of(step).moves and step.turns is None))


def held_now(here: Here) -> set[str]:
    """Return the ids of the locks that are in, by the steps that were done, in the order in which they were."""
    return held_behind(done_in_order(here))


def done_in_order(here: Here) -> list[Step]:
    """Return the steps that are done, in the order in which they were."""
    index, places = here.job.index, here.job.places
    done = (places[index[name]] for name in here.state.done_in_order if name in here.state.done and name in index)
    return [place.step for place in done if isinstance(place, StepPlace)]


def held_behind(steps: Iterable[Step]) -> set[str]:
    """Return the ids of the locks that are in when ``steps`` were done in this order."""
    held: set[str] = set()
    for step in steps:
        held.discard(step.unlock or "")
        if step.lock:
            held.add(step.lock)
    return held


def locks_in(here: Here) -> list[str]:
    """Return the ids of the locks that are in now, in the order of the preparation."""
    return _in_order(here, held_now(here))


def _in_order(here: Here, ids: Iterable[str | None]) -> list[str]:
    """Return ``ids`` in the order of the preparation."""
    return [item.id for item in here.job.procedure.support_equipment if item.id in set(ids)]
