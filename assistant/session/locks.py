"""Locks that are in, or not in, against what a step needs: the step that moves one may have been left out."""

from __future__ import annotations

from assistant.procedure.model import Step
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import replies_lists
from assistant.session.engine import Engine
from assistant.session.places import StepPlace


def reminder(e: Engine, step: Step) -> list[str]:
    """Return what must be said of locks before ``step`` is done: one that is still in, or one that is not in."""
    held = _put_in(e, step)
    missing = [name for name in step.against if name not in held]
    loose = [name for name in held if name not in step.against]
    moves = step.turns or (isinstance(step, TightenStep) and step.turns is None)
    return [
        replies_lists.lock_in(_names(e, loose if moves else []), turning=bool(step.turns)),
        replies_lists.lock_missing(_names(e, missing)),
    ]


def _put_in(e: Engine, step: Step) -> dict[str, None]:
    """Return the locks that confirmed steps before ``step`` have put in and not taken out, by their ids."""
    held: dict[str, None] = {}
    for place in e.places:
        if not isinstance(place, StepPlace):
            continue
        if place.step.id == step.id:
            held.pop(step.unlock or "", None)
            return held
        if place.step.id in e.state.done:
            held.pop(place.step.unlock or "", None)
            if place.step.lock:
                held[place.step.lock] = None
    return held


def _names(e: Engine, ids: list[str]) -> list[str]:
    return [item.name for item in e.procedure.support_equipment if item.id in ids]
