"""Which group of fasteners is meant where only the number of a bolt is said."""

from __future__ import annotations

from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import StepPlace


def groups_here(here: Here) -> list[str]:
    """Return the ids of the groups that the present step is about, the one at hand first."""
    return list(part_of(here.step).groups(here, here.step)) if here.step is not None else []


def groups_by_nearness(here: Here) -> list[str]:
    """Return the ids of all groups: of the present step, of the last one before it that had any, and the rest."""
    before: list[str] = []
    for place in reversed(here.job.places[: here.at]):
        if isinstance(place, StepPlace) and not here.shut(place):
            before = list(part_of(place.step).groups(here, place.step))
        if before:
            break
    return list(dict.fromkeys((*groups_here(here), *before, *here.job.groups)))
