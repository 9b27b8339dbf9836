"""Which pass of which stage bolts are in, as it is spoken and shown."""

from __future__ import annotations

from assistant.language.values import StageAt
from assistant.procedure.programme_text import stage_place
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.job import Job


def stage_at(step: TightenStep, chunk: Chunk) -> StageAt:
    """Return in which stage, pass and repetition of ``step`` the bolts of ``chunk`` are."""
    return stage_place(step, chunk.stage, chunk.part, chunk.time, again=chunk.again)


def stage_named(step: TightenStep, number: int) -> StageAt:
    """Return the stage of ``step`` at the place ``number`` [from 1], as a whole."""
    stage = step.stages[number - 1]
    return StageAt(number, len(step.stages), stage.number, stage.label)


def turn_at(job: Job, step: TightenStep, turn: int) -> StageAt | None:
    """Return the same for a pass of ``step`` as it is done, from 1; None where there is none."""
    return next((stage_at(step, one) for one in chunks_in(job, step.id) if one.turn == turn), None)
