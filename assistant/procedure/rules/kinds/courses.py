"""What every group of fasteners goes through: the stages that take it, one after another, over all steps.

A course begins anew where the fasteners are counted out or in, or new ones are fitted, because nothing that was done
before holds then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assistant.fastening.programme import Programme, ProgrammePass
from assistant.procedure.format.draft import Draft
from assistant.procedure.model import Group
from assistant.procedure.steps.programmes import programme_of, written_passes
from assistant.procedure.steps.tighten import Pass, Stage, TightenStep


@dataclass(frozen=True, slots=True)
class CoursePass:
    """One pass of a course: the pass and its ``stage`` as they were read, and what it does to the group."""

    step: str
    stage: Stage
    written: Pass
    done: ProgrammePass

    @property
    def called(self) -> str:
        """Return how a reader finds the pass in its step, such as ``Stage 3, pass 2``."""
        return self.done.called


@dataclass(frozen=True, slots=True)
class Course:
    """All passes over one group, from where it is put in to where it is taken out."""

    group: Group
    passes: tuple[CoursePass, ...]

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
        passes: list[CoursePass] = []
        for step in draft.every_step():
            if isinstance(step, TightenStep):
                passes += _passes(step, draft, group, len(passes))
            anew = step.begins_anew(group)
            if anew and passes:
                yield Course(group, tuple(passes))
                passes = []
        if passes:
            yield Course(group, tuple(passes))


def _passes(step: TightenStep, draft: Draft, group: Group, before: int) -> Iterator[CoursePass]:
    """Yield the passes of ``step`` that take ``group``; a repeat is told from the first of the ``before`` passes."""
    written = written_passes(step)
    done = programme_of(step, draft.procedure).passes
    taken = [at for at, one in enumerate(written) if any(run.group == group.id for run in one.what.runs)]
    for at in taken:
        seen: set[int] = set()
        runs = []
        for run in (run for run in done[at].runs if run.group == group.id):
            runs.append(replace(run, bolts=tuple(bolt for bolt in run.bolts if bolt not in seen)))
            seen.update(run.bolts)
        again = done[at].reseat
        if again is not None:
            again = before + sum(earlier + 1 < again for earlier in taken) + 1
        made = replace(done[at], runs=tuple(runs), reseat=again)
        yield CoursePass(step.id, step.stages[written[at].stage - 1], written[at].what, made)
