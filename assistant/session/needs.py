"""What a step needs that was missing in the preparation."""

from __future__ import annotations

from assistant.procedure.model import FitStep, Step, TightenStep
from assistant.session import replies_lists
from assistant.session.engine import Engine
from assistant.session.places import Card


def still_missing(e: Engine, step: Step) -> list[str]:
    """Return a reminder of what ``step`` needs and is missing, or nothing."""
    needed = _needs(e, step)
    things = {
        (card.key, number): e.state.missing[card.key, number]
        for card in e.places
        if isinstance(card, Card)
        for number, item in enumerate(card.items)
        if item in needed and (card.key, number) in e.state.missing
    }
    return replies_lists.missing(things, still=True)


def _needs(e: Engine, step: Step) -> set[str]:
    needed = {*step.tools, *step.supplies}
    if isinstance(step, FitStep):
        needed.add(step.spare)
    if isinstance(step, TightenStep):
        for stage in step.stages:
            needed |= {stage.tool or "", *(e.groups[run.group].spare or "" for run in stage.runs)}
    return needed - {""}
