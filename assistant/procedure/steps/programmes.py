"""A tighten step as a tightening programme of the trade's arithmetic."""

from __future__ import annotations

from assistant.fastening.programme import BoltRun, Programme, ProgrammeStage, Target
from assistant.procedure.model import Group, Procedure
from assistant.procedure.steps.tighten import Stage, TightenStep


def programme_of(step: TightenStep, procedure: Procedure) -> Programme:
    """Return the programme of ``step``; stages, runs and bolts keep their places.

    ``groups`` of the programme has every bolt of the groups that the step names, as ``procedure`` lists them; a stage
    that has an exception may leave some out.
    """
    groups = {group.id: frozenset(group.bolts) for group in groups_of(step, procedure)}
    return Programme(tuple(_stage(stage) for stage in step.stages), groups)


def groups_of(step: TightenStep, procedure: Procedure) -> tuple[Group, ...]:
    """Return the groups that ``step`` tightens, in the order of ``procedure``."""
    named = {run.group for stage in step.stages for run in stage.runs}
    return tuple(group for group in procedure.groups if group.id in named)


def _stage(stage: Stage) -> ProgrammeStage:
    runs = tuple(BoltRun(run.group, run.bolts, Target(run.target, run.low, run.high)) for run in stage.runs)
    return ProgrammeStage(stage.way, runs, stage.to_yield, stage.repeat_from)
