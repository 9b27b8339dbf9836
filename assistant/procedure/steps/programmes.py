"""A tighten step as a tightening programme of the trade's arithmetic."""

from __future__ import annotations

from typing import NamedTuple

from assistant.fastening.programme import BoltRun, Programme, ProgrammePass, Target
from assistant.procedure.model import Group, Procedure
from assistant.procedure.steps.tighten import Pass, TightenStep


def programme_of(step: TightenStep, procedure: Procedure) -> Programme:
    """Return the programme of ``step``; passes, runs and bolts keep their places.

    ``groups`` of the programme has every bolt of the groups that the step names, as ``procedure`` lists them; a stage
    that has an exception may leave some out.
    """
    groups = {group.id: frozenset(group.bolts) for group in groups_of(step, procedure)}
    written = written_passes(step)
    begins = {one.stage: number for number, one in reversed([*enumerate(written, 1)])}
    last = {one.stage: number for number, one in enumerate(written, 1)}
    passes = []
    for number, one in enumerate(written, 1):
        stage = step.stages[one.stage - 1]
        runs = tuple(BoltRun(run.group, run.bolts, Target(run.target, run.low, run.high)) for run in one.what.runs)
        back = step.place_of(stage.reseat) if stage.reseat and last[one.stage] == number else None
        again = None if back is None else begins[back]
        named = (one.what.repeat, one.stage, one.called(step))
        passes.append(ProgrammePass(one.what.way, runs, one.what.to_yield, again, *named))
    return Programme(tuple(passes), groups)


class WrittenPass(NamedTuple):
    """A pass as it is written: the places [from 1] of its ``stage`` in the step and of its ``part`` in the stage."""

    stage: int
    part: int
    what: Pass

    def called(self, step: TightenStep) -> str:
        """Return how a reader finds it in ``step``, such as ``Stage 3, pass 2``."""
        stage = step.stages[self.stage - 1]
        name = f"Stage {stage.number or self.stage}"
        return name if len(stage.passes) == 1 else f"{name}, pass {self.part}"


def written_passes(step: TightenStep) -> tuple[WrittenPass, ...]:
    """Return every pass of ``step`` in order, as its programme numbers them from 1."""
    return tuple(
        WrittenPass(number, part, one)
        for number, stage in enumerate(step.stages, 1)
        for part, one in enumerate(stage.passes, 1)
    )


def groups_of(step: TightenStep, procedure: Procedure) -> tuple[Group, ...]:
    """Return the groups that ``step`` tightens, in the order of ``procedure``."""
    named = {run.group for stage in step.stages for run in stage.runs}
    return tuple(group for group in procedure.groups if group.id in named)
