"""What every group of fasteners goes through: the stages that take it, one after another, over all steps.

A course begins anew where the fasteners are counted out or in, or new ones are fitted, because nothing that was done
before holds then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assistant.fastening.programme import Programme, ProgrammeStage
from assistant.procedure.format.draft import Draft
from assistant.procedure.model import Group
from assistant.procedure.steps.programmes import programme_of
from assistant.procedure.steps.tighten import Stage, TightenStep


@dataclass(frozen=True, slots=True)
class Pass:
    """One stage of a course: ``stage`` as it was read, its ``number`` in its step, and what it does to the group."""

    step: str
    number: int
    stage: Stage
    done: ProgrammeStage


@dataclass(frozen=True, slots=True)
class Course:
    """All passes over one group, from where it is put in to where it is taken out."""

    group: Group
    passes: tuple[Pass, ...]

    @property
    def programme(self) -> Programme:
        """Return the passes as a programme; a bolt that a stage takes twice is in it once."""
        return Programme(tuple(one.done for one in self.passes))


def courses(draft: Draft) -> tuple[Course, ...]:
    """Return the courses of all groups that were read soundly, through steps that were."""
    return draft.once(_all_courses)


def _all_courses(draft: Draft) -> tuple[Course, ...]:
    return tuple(_courses(draft))


def _courses(draft: Draft) -> Iterator[Course]:
    if not draft.places.sound(*draft.every_step()):
        return
    for group in (group for group in draft.procedure.groups if draft.places.sound(group)):
        passes: list[Pass] = []
        for step in draft.every_step():
            if isinstance(step, TightenStep):
                passes += _passes(step, draft, group, len(passes))
            anew = step.begins_anew(group)
            if anew and passes:
                yield Course(group, tuple(passes))
                passes = []
        if passes:
            yield Course(group, tuple(passes))


def _passes(step: TightenStep, draft: Draft, group: Group, before: int) -> Iterator[Pass]:
    """Yield the stages of ``step`` that take ``group``; a repeat is told from the first of the ``before`` passes."""
    taken = [number for number, stage in enumerate(step.stages, 1) if any(run.group == group.id for run in stage.runs)]
    if not taken:
        return
    written = programme_of(step, draft.procedure).stages
    for number in taken:
        one = written[number - 1]
        seen: set[int] = set()
        runs = []
        for run in (run for run in one.runs if run.group == group.id):
            runs.append(replace(run, bolts=tuple(bolt for bolt in run.bolts if bolt not in seen)))
            seen.update(run.bolts)
        again = one.repeat_from
        if again is not None:
            again = before + sum(earlier < again for earlier in taken) + 1
        yield Pass(step.id, number, step.stages[number - 1], replace(one, runs=tuple(runs), repeat_from=again))
