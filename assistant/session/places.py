"""The job as one row of places: preparation cards, safety hazards, steps, closing steps and the end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.fastening.chunks import MOST_THINGS, chunk_bolts
from assistant.fastening.programme import Way, passes
from assistant.fastening.units import Angle, Torque
from assistant.language.en import steps
from assistant.procedure.model import Hazard, Procedure, Step
from assistant.procedure.programmes import programme_of
from assistant.procedure.steps.tighten import Run, TightenStep


@dataclass(frozen=True, slots=True)
class Card:
    """At most four things that must be there or true before the work; ``what`` says of which kind they are."""

    key: str
    what: str
    things: tuple[str, ...]
    hazards: tuple[Hazard, ...] = ()
    items: tuple[str, ...] = ()
    """Ids of the things where they have one."""


@dataclass(frozen=True, slots=True)
class Safety:
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
        """Return the hazards that stand before the step."""
        return self.step.hazards


@dataclass(frozen=True, slots=True)
class End:
    """Behind the last step: only closing the job is left."""

    key: str = "end"
    hazards: tuple[Hazard, ...] = ()


Place = Card | Safety | StepPlace | End


@dataclass(frozen=True, slots=True)
class Chunk:
    """Bolts that are said and confirmed in one breath: a run of a stage, or at most four things of a long one.

    ``turn``, ``stage`` and ``run`` count from one: the passes of the step as they are done, the stage of the procedure
    that such a pass is (a repeated one comes again), and the run in it. ``of`` is that run, with its limits and access.
    """

    turn: int
    stage: int
    run: int
    bolts: tuple[int, ...]
    way: Way
    of: Run

    @property
    def group(self) -> str:
        """The id of the group."""
        return self.of.group

    @property
    def target(self) -> Torque | Angle | None:
        """What the bolts are taken to; None when they are loosened until no force is left."""
        return self.of.target


def chunks_of(step: TightenStep, procedure: Procedure) -> tuple[Chunk, ...]:
    """Return all chunks of a tightening step of ``procedure``, in the order of the work; repeats are written out."""
    return tuple(
        Chunk(turn, stage_no, run_no, bolts, stage.way, run)
        for turn, (stage_no, stage) in enumerate(passes(programme_of(step, procedure)), 1)
        for run_no, run in enumerate(step.stages[stage_no - 1].runs, 1)
        for bolts in chunk_bolts(run.bolts)
    )


def places_of(procedure: Procedure) -> tuple[Place, ...]:
    """Return the row of places of ``procedure``."""
    row: list[Place] = []
    persons = [steps.person(person.kind, person.count) for person in procedure.persons]
    for what, things in (("conditions", list(procedure.conditions)), ("persons", persons)):
        row += [Card(f"{what}:{number}", what, some) for number, some in enumerate(_fours(things), 1)]
    for what, items in (
        ("equipment", procedure.support_equipment),
        ("supplies", procedure.supplies),
        ("spares", procedure.spares),
    ):
        ids = list(_fours([item.id for item in items]))
        row += [
            Card(f"{what}:{number}", what, some, items=ids[number - 1])
            for number, some in enumerate(
                _fours([steps.item(item.name, item.quantity, item.unit, single_use=item.single_use) for item in items]),
                1,
            )
        ]
    row += [Safety(f"safety:{number}", (hazard,)) for number, hazard in enumerate(procedure.safety, 1)]
    first = {id(one.steps[0]): one.name for one in procedure.chapters if one.steps}
    for closing, row_of in ((False, procedure.steps), (True, procedure.closing)):
        row += [
            StepPlace(step.id, step, number, len(row_of), closing, first.get(id(step), "") if not closing else "")
            for number, step in enumerate(row_of, 1)
        ]
    return (*row, End())


def _fours(things: list[str]) -> Iterator[tuple[str, ...]]:
    for start in range(0, len(things), MOST_THINGS):
        yield tuple(things[start : start + MOST_THINGS])
