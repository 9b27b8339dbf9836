"""What is said as each pass of a tightening begins, without a job: for whoever writes the procedure."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from assistant.facts.going import BoltAt
from assistant.facts.kinds.tighten import Reached
from assistant.language.port import Language
from assistant.procedure.model import Procedure
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.job import Job
from assistant.session.state import Bolt, State
from assistant.session.telling.core import Telling
from assistant.session.telling.presenting import present

STAGE_WORDS = 25
"""A stage opens with at most so many words; more are not kept in mind until the wrench is set. Ours, not published."""


@dataclass(frozen=True, slots=True)
class StageOpening:
    """What is said as the pass ``turn`` of a step begins, which belongs to the stage with that number (from one)."""

    step: TightenStep
    stage: int
    turn: int
    text: str

    @property
    def words(self) -> int:
        """How many words that are."""
        return len(self.text.split())


def stage_openings(procedure: Procedure, language: Language) -> list[StageOpening]:
    """Return what is said as each pass of ``procedure`` begins, to somebody who knows the commands.

    All before it is done, and there is no tool file.
    """
    job = Job(procedure)
    found: list[StageOpening] = []
    done: set[Bolt] = set()
    for step in job.steps_of(TightenStep):
        chunks = chunks_in(job, step.id)
        for turn in dict.fromkeys(chunk.turn for chunk in chunks):
            of_turn = [chunk for chunk in chunks if chunk.turn == turn]
            found.append(StageOpening(step, of_turn[0].stage, turn, _opening(job, step, of_turn[0], done, language)))
            done |= {(step.id, turn, chunk.run, bolt) for chunk in of_turn for bolt in chunk.bolts}
    return found


def _opening(job: Job, step: TightenStep, chunk: Chunk, done: Collection[Bolt], language: Language) -> str:
    before = State(
        opened=True,
        place=step.id,
        acknowledged=frozenset((step.id, number) for number in range(len(step.hazards))),
        renewed=frozenset((step.id, group.id) for group in job.procedure.groups),
        bolts=frozenset(done),
    )
    reached = Reached(step=step.id, bolt=BoltAt(chunk.turn, chunk.run, chunk.bolts[0]))
    told = Telling(job, before, (reached,), 0, language, "")
    return " ".join(one for one in present(told, whole=True) if one)
