"""Locks that are in, or not in, against what a step needs: the step that moves one may have been left out."""

from __future__ import annotations

from assistant.procedure.model import Step
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import StepPlace


def wrong(here: Here, step: Step) -> tuple[list[str], list[str]]:
    """Return the ids of locks that are still in before ``step`` moves what they hold, and of those that are not in."""
    held = _put_in(here, step)
    moves = step.turns or (part_of(step).moves and step.turns is None)
    loose = {name for name in held if name not in step.against} if moves else set()
    return _in_order(here, loose), _in_order(here, set(step.against) - set(held))


def _put_in(here: Here, step: Step) -> set[str]:
    """Return the ids of the locks that confirmed steps before ``step`` have put in and not taken out."""
    held: set[str] = set()
    for place in here.job.places:
        if not isinstance(place, StepPlace):
            continue
        if place.step.id == step.id:
            held.discard(step.unlock or "")
            return held
        if place.step.id in here.state.done:
            held.discard(place.step.unlock or "")
            if place.step.lock:
                held.add(place.step.lock)
    return held


def _in_order(here: Here, ids: set[str]) -> list[str]:
    """Return ``ids`` in the order of the preparation."""
    return [item.id for item in here.job.procedure.support_equipment if item.id in ids]
