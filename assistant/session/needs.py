"""What a step needs that was missing in the preparation."""

from __future__ import annotations

from collections.abc import Collection

from assistant.procedure.model import Step
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import replies_lists
from assistant.session.engine import Engine
from assistant.session.places import Card
from assistant.session.state import Thing


def still_missing(e: Engine, step: Step) -> list[str]:
    """Return a reminder of what ``step`` needs and is missing, or nothing."""
    return replies_lists.missing({key: e.state.missing[key] for key in _lacking(e, _needs(e, step))}, still=True)


def parts_missing(e: Engine, step: FitStep) -> list[Thing]:
    """Return the new part of ``step`` when it was told to be missing and was not found since."""
    return _lacking(e, {step.spare})


def _lacking(e: Engine, needed: Collection[str]) -> list[Thing]:
    return [
        (card.key, number)
        for card in e.places
        if isinstance(card, Card)
        for number, item in enumerate(card.items)
        if item in needed and (card.key, number) in e.state.missing
    ]


def _needs(e: Engine, step: Step) -> set[str]:
    needed = {*step.tools, *step.supplies, *step.against, step.lock or ""}
    if isinstance(step, FitStep):
        needed.add(step.spare)
    if isinstance(step, TightenStep):
        for stage in step.stages:
            needed |= {stage.tool or "", *(e.groups[run.group].spare or "" for run in stage.runs)}
    return needed - {""}
