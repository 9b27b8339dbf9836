"""What a step needs that was missing in the preparation."""

from __future__ import annotations

from collections.abc import Collection

from assistant.procedure.model import Step
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import CardPlace
from assistant.session.state import ThingKey


def still_missing(here: Here, step: Step) -> list[ThingKey]:
    """Return the things that ``step`` needs and that are missing, in the order of the preparation."""
    own = part_of(step).needs(here.job, step)
    return lacking(here, {*step.tools, *step.supplies, *step.against, step.lock or "", *own} - {""})


def lacking(here: Here, needed: Collection[str]) -> list[ThingKey]:
    """Return those of the things with the ids ``needed`` that were told to be missing and were not found since."""
    return [
        (card.key, number)
        for card in here.job.places
        if isinstance(card, CardPlace)
        for number, item in enumerate(card.items, 1)
        if item in needed and (card.key, number) in here.state.missing
    ]
