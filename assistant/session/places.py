"""The job as one row of places: preparation cards, safety hazards, steps, closing steps and the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from assistant.language.values import StepAt
from assistant.procedure.model import Hazard, Item, Person, Procedure, Step


@dataclass(frozen=True, slots=True)
class CardPlace:
    """At most four things that must be there or true before the work; ``what`` says of which kind they are.

    A condition is a text, and the language has the words for people and items.
    """

    key: str
    what: str
    things: tuple[str | Person | Item, ...]
    hazards: tuple[Hazard, ...] = ()
    items: tuple[str, ...] = ()
    """Ids of the things where they have one."""


@dataclass(frozen=True, slots=True)
class SafetyPlace:
    """One hazard of the whole job, acknowledged before the first step."""

    key: str
    hazards: tuple[Hazard, ...]


@dataclass(frozen=True, slots=True)
class StepPlace:
    """One step: its ``number`` from one, of ``of`` steps of its row, and the ``chapter`` that begins with it, or ""."""

    key: str
    step: Step
    number: int
    of: int
    closing: bool
    chapter: str = ""

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """The hazards that stand before the step."""
        return self.step.hazards

    @property
    def called(self) -> StepAt:
        """How the step is called."""
        return StepAt(self.number, self.closing)


@dataclass(frozen=True, slots=True)
class EndPlace:
    """Behind the last step: only closing the job is left."""

    key: str = "end"
    hazards: tuple[Hazard, ...] = ()


AnyPlace = CardPlace | SafetyPlace | StepPlace | EndPlace


_PAGE = 4
"""So many things are on a page of the preparation, as the ear holds four. Facts name a thing by its page and its number
there: so this never changes, whatever is said in one breath one day."""


def places_of(procedure: Procedure) -> tuple[AnyPlace, ...]:
    """Return the row of places of ``procedure``."""
    row: list[AnyPlace] = []
    for what, things in (
        ("conditions", procedure.conditions),
        ("persons", procedure.persons),
        ("equipment", procedure.support_equipment),
        ("supplies", procedure.supplies),
        ("spares", procedure.spares),
    ):
        row += [
            CardPlace(f"{what}:{number}", what, some, items=tuple(one.id for one in some if isinstance(one, Item)))
            for number, some in enumerate(_pages(things), 1)
        ]
    row += [SafetyPlace(f"safety:{number}", (hazard,)) for number, hazard in enumerate(procedure.safety, 1)]
    first = {id(one.steps[0]): one.name for one in procedure.chapters if one.steps}
    for closing, steps in ((False, procedure.steps), (True, procedure.closing)):
        row += [
            StepPlace(step.id, step, number, len(steps), closing, first.get(id(step), "") if not closing else "")
            for number, step in enumerate(steps, 1)
        ]
    return (*row, EndPlace())


def _pages(things: Sequence[str | Person | Item]) -> Iterator[tuple[str | Person | Item, ...]]:
    for start in range(0, len(things), _PAGE):
        yield tuple(things[start : start + _PAGE])
