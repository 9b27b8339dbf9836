"""The job as one row of places: preparation cards, safety hazards, steps, closing steps and the end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from assistant.language.values import StepAt
from assistant.procedure.model import Branch, Hazard, Item, Onward, Person, Procedure, Step
from assistant.procedure.only_if import only_if, things_of


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
    within: tuple[str, ...] = ()
    """Keys of the branches in which the place stands, the outermost first."""


@dataclass(frozen=True, slots=True)
class SafetyPlace:
    """One hazard of the whole job, acknowledged before the first step."""

    key: str
    hazards: tuple[Hazard, ...]
    within: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepPlace:
    """One step: its ``number`` from one, of ``of`` steps of its row, and the ``chapter`` that begins with it, or "".

    A step of a branch counts among those of its branch; ``behind`` is the number of the step that leads there.
    """

    key: str
    step: Step
    number: int
    of: int
    closing: bool
    chapter: str = ""
    within: tuple[str, ...] = ()
    behind: int = 0

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """The hazards that stand before the step."""
        return self.step.hazards

    @property
    def called(self) -> StepAt:
        """How the step is called."""
        return StepAt(self.number, self.closing, self.behind)


@dataclass(frozen=True, slots=True)
class OfferPlace:
    """Extra work is offered here; ``branch`` (with its key) opens when it is granted."""

    key: str
    branch: Branch
    owner: StepAt
    within: tuple[str, ...]
    hazards: tuple[Hazard, ...] = ()


@dataclass(frozen=True, slots=True)
class StopPlace:
    """Behind a branch with which the job ends, unless there is a reason to go on."""

    key: str
    owner: StepAt
    within: tuple[str, ...]
    hazards: tuple[Hazard, ...] = ()


@dataclass(frozen=True, slots=True)
class EndPlace:
    """Behind the last step: only closing the job is left."""

    key: str = "end"
    hazards: tuple[Hazard, ...] = ()
    within: tuple[str, ...] = ()


AnyPlace = CardPlace | SafetyPlace | StepPlace | OfferPlace | StopPlace | EndPlace


BRANCH_CARD = "branch"
"""What a card of the preparation is about that a branch has."""


def branch_key(step: str, branch: Branch) -> str:
    """Return the key of a branch: the id of the step that leads there, and what leads there."""
    return f"{step}:{branch.when.value}"


_PAGE = 4
"""So many things are on a page of the preparation, as the ear holds four. Facts name a thing by its page and its number
there: so this never changes, whatever is said in one breath one day."""


def places_of(procedure: Procedure) -> tuple[AnyPlace, ...]:
    """Return the row of places of ``procedure``; what only branches need stands on their own cards."""
    later = only_if(procedure)
    row: list[AnyPlace] = []
    for what, things in (
        ("conditions", procedure.conditions),
        ("persons", procedure.persons),
        ("equipment", procedure.support_equipment),
        ("supplies", procedure.supplies),
        ("spares", procedure.spares),
    ):
        row += _cards(what, what, [one for one in things if not isinstance(one, Item) or one.id not in later])
    row += [SafetyPlace(f"safety:{number}", (hazard,)) for number, hazard in enumerate(procedure.safety, 1)]
    first = {id(one.steps[0]): one.name for one in procedure.chapters if one.steps}
    items = {
        one.id: one for many in (procedure.support_equipment, procedure.supplies, procedure.spares) for one in many
    }
    for closing, steps in ((False, procedure.steps), (True, procedure.closing)):
        for number, step in enumerate(steps, 1):
            chapter = first.get(id(step), "") if not closing else ""
            row.append(StepPlace(step.id, step, number, len(steps), closing, chapter))
            row += _branches(step, StepAt(number, closing), (), {name: items[name] for name in later if name in items})
    return (*row, EndPlace())


def _branches(step: Step, owner: StepAt, around: tuple[str, ...], items: Mapping[str, Item]) -> Iterator[AnyPlace]:
    """Yield the places of the branches behind ``step``, in the branches ``around``; ``items`` are those for cards."""
    for branch in step.branches:
        key = branch_key(step.id, branch)
        within = (*around, key)
        if branch.extra:
            yield OfferPlace(f"{key}:ask", branch, owner, within)
        yield from _cards(key, BRANCH_CARD, [items[one] for one in things_of(branch) if one in items], within)
        behind, of = owner.behind or owner.number, len(branch.steps)
        for number, one in enumerate(branch.steps, 1):
            yield StepPlace(one.id, one, number, of, owner.closing, within=within, behind=behind)
            yield from _branches(one, StepAt(number, owner.closing, behind), within, items)
        if branch.then is Onward.STOP:
            yield StopPlace(f"{key}:stop", owner, within)


def _cards(
    key: str, what: str, things: Sequence[str | Person | Item], within: tuple[str, ...] = ()
) -> Iterator[CardPlace]:
    """Yield the pages of ``things``."""
    for number, start in enumerate(range(0, len(things), _PAGE), 1):
        some = tuple(things[start : start + _PAGE])
        ids = tuple(one.id for one in some if isinstance(one, Item))
        yield CardPlace(f"{key}:{number}", what, some, items=ids, within=within)
