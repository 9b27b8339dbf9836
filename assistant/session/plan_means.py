"""Who and what a plan counts on: who is at the job, what a step takes of them, and the tools that the bay has.

Whoever leads does every step. A helper holds where a step takes several people, does alone only what the procedure lets
a helper do, and is the witness. With a tool file, work on bolts takes the very tools that are chosen for it, each of
which is there once.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.advice.tasks import MECHANIC, Means
from assistant.procedure.model import Step
from assistant.session import needs
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import CardPlace

SECOND = "second person"
"""Who comes to look at a step that has a witness, or to release a gate that is held."""
HELPER = "helper"
"""Who is at the job and does not lead."""


@dataclass(frozen=True, slots=True)
class Crew:
    """How many are at a job: ``mechanics``, who may do every step, and ``helpers``."""

    mechanics: int = 1
    helpers: int = 0

    @property
    def people(self) -> int:
        """Return how many they are together."""
        return self.mechanics + self.helpers


ALONE = Crew()


@dataclass(frozen=True, slots=True)
class Hands:
    """The ``people`` that a step takes, and who else may do it ``instead`` (() for nobody).

    ``short``: it takes more than there are, and is planned as if somebody came for that long.
    """

    people: tuple[str, ...]
    instead: tuple[str, ...] = ()
    short: bool = False


def crew_of(here: Here) -> Crew:
    """Return who is at the job just now, as far as they said so: whoever works, and those who help."""
    return Crew(1, sum(one.helps for one in here.state.helping))


def hands_for(here: Here, step: Step, crew: Crew) -> Hands:
    """Return which of the ``crew`` a step takes, or how many of them, where it takes more than there are."""
    helping = min(step.people - 1, crew.helpers)
    leading = min(step.people - helping, crew.mechanics)
    people = (MECHANIC,) * leading + (HELPER,) * helping
    looks_on: tuple[str, ...] = ()
    if step.witness or step.id in here.state.gates_held:
        looks_on = (HELPER,) if helping < crew.helpers else (SECOND,)
    instead: tuple[str, ...] = ()
    if step.helper and crew.helpers >= step.people and not looks_on:
        instead = (HELPER,) * step.people
    elif helping and crew.mechanics >= step.people:
        instead = (MECHANIC,) * step.people + looks_on
    return Hands(people + looks_on, instead, short=leading + helping < step.people)


@dataclass(frozen=True, slots=True)
class ToolNeed:
    """The ids of the tools that a step takes, and of those of its equipment that are not to be had.

    ``unfit``: no tool of the tool file gives a value of it.
    """

    taken: tuple[str, ...]
    lacking: tuple[str, ...] = ()
    unfit: bool = False


def tools_for(here: Here, step: Step) -> ToolNeed:
    """Return the tools of a step: those that are named, and in place of named wrenches those that the bay has."""
    equipment = {item.id for item in here.job.procedure.support_equipment}
    named = list(dict.fromkeys(one for one in (*step.tools, *step.named_inside) if one in equipment))
    lacking = [_item(here, card, number) for card, number in needs.lacking(here, named)]
    chosen = part_of(step).of_bay(here, step)
    if chosen is None:
        return ToolNeed(tuple(named), tuple(lacking))
    taken = [one for one in named if one not in chosen.stands_for]
    return ToolNeed(tuple(dict.fromkeys((*taken, *chosen.tools))), (*lacking, *chosen.lacking), chosen.unfit)


def _item(here: Here, card: str, number: int) -> str:
    place = here.job.places[here.job.index[card]]
    assert isinstance(place, CardPlace)
    return place.items[number - 1]


def means_of(here: Here, crew: Crew) -> Means:
    """Return what there is of people, and of each tool: one of each in the tool file, else as many as are listed."""
    there = here.box.names() if here.box else {}
    listed = {item.id: max(1, int(item.quantity or 1)) for item in here.job.procedure.support_equipment}
    tools = {name: 1 if name in there else number for name, number in listed.items()}
    return Means(tools, {MECHANIC: crew.mechanics, HELPER: crew.helpers, SECOND: 1})
