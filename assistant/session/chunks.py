"""Tightenings cut into what is said in one breath: which bolts are meant now, which are done, and which are open."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.facts.codes import Way
from assistant.facts.going import BoltAt
from assistant.fastening.chunks import chunk_bolts
from assistant.fastening.programme import done_passes
from assistant.fastening.quantities import Angle, Torque
from assistant.procedure.model import Procedure
from assistant.procedure.steps.programmes import programme_of, written_passes
from assistant.procedure.steps.tighten import Pass, Run, TightenStep
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.state import Bolt


@dataclass(frozen=True, slots=True)
class Chunk:
    """Bolts that are said and confirmed in one breath: a run of a pass, or at most four things of a long one.

    ``turn``, ``stage``, ``part``, ``time`` and ``run`` count from one: the passes of the step as they are done, the
    stage of the procedure, the pass of that stage, its repetition, and the run in it. ``again`` says that the pass is
    done once more, because the bolts were loosened. ``within`` is the pass and ``of`` the run as they are written;
    ``tool`` is the id of the one that the procedure names for it.
    """

    turn: int
    stage: int
    part: int
    time: int
    run: int
    bolts: tuple[int, ...]
    way: Way
    of: Run
    within: Pass
    tool: str | None
    again: bool = False

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
    written = written_passes(step)
    return tuple(
        Chunk(
            number, one.stage, one.part, turn.time, run_no, bolts, one.what.way, run, one.what,
            step.stages[one.stage - 1].tool_of(one.what, run), turn.again,
        )
        for number, turn in enumerate(done_passes(programme_of(step, procedure)), 1)
        for one in (written[turn.number - 1],)
        for run_no, run in enumerate(one.what.runs, 1)
        for bolts in ((run.bolts,) if one.what.together else chunk_bolts(run.bolts))
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Cut:
    """All tightenings of a job by the ids of their steps, and where each bolt is: index of its chunk and offset.

    ``slackens`` are the steps that only slacken bolts.
    """

    chunks: dict[str, tuple[Chunk, ...]]
    at: dict[Bolt, tuple[int, int]]
    slackens: frozenset[str]


def _cut(job: Job) -> _Cut:
    chunks = {step.id: chunks_of(step, job.procedure) for step in job.steps_of(TightenStep)}
    at = {
        (step, chunk.turn, chunk.run, bolt): (index, offset)
        for step, some in chunks.items()
        for index, chunk in enumerate(some)
        for offset, bolt in enumerate(chunk.bolts)
    }
    slackens = frozenset(step for step, some in chunks.items() if all(one.way is Way.LOOSEN for one in some))
    return _Cut(chunks, at, slackens)


def chunks_in(job: Job, step: str) -> tuple[Chunk, ...]:
    """Return the chunks of the tightening with the id ``step``, in order."""
    return job.once(_cut).chunks[step]


def only_slackens(job: Job, step: str) -> bool:
    """Return whether the tightening with the id ``step`` tightens nothing: it loosens bolts that will come out."""
    return step in job.once(_cut).slackens


def bolt_key(job: Job, step: str, index: int, offset: int) -> Bolt:
    """Return the key of the bolt at ``offset`` of the chunk ``index`` of a tightening."""
    chunk = chunks_in(job, step)[index]
    return step, chunk.turn, chunk.run, chunk.bolts[offset]


def bolt_at(job: Job, step: str, index: int, offset: int) -> BoltAt | None:
    """Return the same for a fact; None behind the last chunk."""
    if index >= len(chunks_in(job, step)):
        return None
    _, turn, run, bolt = bolt_key(job, step, index, offset)
    return BoltAt(turn, run, bolt)


def index_of(job: Job, step: str, at: BoltAt | None) -> tuple[int, int]:
    """Return index and offset of a bolt: behind the last chunk for None, of the first for one that is not there."""
    if at is None:
        return len(chunks_in(job, step)), 0
    return job.once(_cut).at.get((step, at.turn, at.run, at.bolt), (0, 0))


def pointer(here: Here, step: TightenStep) -> tuple[int, int]:
    """Return index of the chunk and offset in it of the next bolt of ``step``; the first of all where nobody was."""
    if step.id not in here.state.at_bolt:
        return 0, 0
    return index_of(here.job, step.id, here.state.at_bolt[step.id])


def bolt_place(here: Here) -> tuple[Chunk, tuple[int, ...], int, int] | None:
    """Return the present chunk, its bolts that are meant now, its index and the first one's offset in it.

    None outside a tightening, and behind its last bolt.
    """
    step = here.step
    if not isinstance(step, TightenStep):
        return None
    chunks = chunks_in(here.job, step.id)
    index, offset = pointer(here, step)
    if index >= len(chunks):
        return None
    # What is turned at the same time is never split; what was turned, and still counts, is only looked at.
    first = bolt_key(here.job, step.id, index, offset)
    apart = not chunks[index].within.together or (first in here.state.turned and first in here.state.bolts)
    end = offset + 1 if one_at_a_time(here, chunks[index]) and apart else _end(here, step.id, index, offset)
    if _begin_together(here, chunks[index]):
        of = range(offset + 1, len(chunks[index].bolts))
        end = next((at for at in of if stands_aside(here, step.id, chunks[index], at)), len(chunks[index].bolts))
    return chunks[index], chunks[index].bolts[offset:end], index, offset


def _begin_together(here: Here, chunk: Chunk) -> bool:
    """Return whether bolts that are turned at the same time are all to be loosened, since one of them must be."""
    if not here.state.to_loosen or not chunk.within.together:
        return False
    return any((chunk.group, bolt) in here.state.to_loosen for bolt in chunk.bolts)


def _end(here: Here, step: str, index: int, offset: int) -> int:
    """Return the offset behind the bolts that are meant together.

    One with a reading out of limits or that is held stands alone, so do those that got their further angle before, or
    must be loosened because of it. Behind a new bolt, those that were tightened before it came are not meant. Those
    that are turned together and are open wait for each other, also where only some of them must be loosened.
    """
    state, chunk = here.state, chunks_in(here.job, step)[index]
    if stands_aside(here, step, chunk, offset):
        return offset + 1

    def stands(at: int) -> tuple[bool, bool]:
        turned = bolt_key(here.job, step, index, at) in state.turned
        return turned, bool(state.to_loosen) and (chunk.group, chunk.bolts[at]) in state.to_loosen

    first = stands(offset)
    was_done = bolt_key(here.job, step, index, offset) in state.bolts
    for at in range(offset, len(chunk.bolts)):
        if bolt_key(here.job, step, index, at) in state.off:
            return max(at, offset + 1)
        if stands_aside(here, step, chunk, at):
            return at
        if not was_done and bolt_key(here.job, step, index, at) in state.bolts:
            return at
        if stands(at) != first and (was_done or not chunk.within.together):
            return at
    return len(chunk.bolts)


def stands_aside(here: Here, step: str, chunk: Chunk, offset: int) -> bool:
    """Return whether the work goes on past a bolt of ``chunk``: it is held open, or was given up.

    Where bolts are only slackened, that holds for each that ever was: one that broke will not come loose any more.
    """
    if not here.state.troubled:
        return False
    bolt = (chunk.group, chunk.bolts[offset])
    return bolt in here.state.held or (bolt in here.state.troubled and only_slackens(here.job, step))


def one_at_a_time(here: Here, chunk: Chunk) -> bool:
    """Return whether the bolts of ``chunk`` are taken one by one: somebody wants it, or each is read off."""
    return here.state.one_by_one or chunk.within.read is not None


def bolts_waiting(here: Here, step: TightenStep) -> list[tuple[int, int]]:
    """Return where bolts are held open that were not given up, in order: chunk and offset; none where all slacken."""
    waiting = {bolt for bolt, held in here.state.held.items() if not held.given_up}
    if not waiting or only_slackens(here.job, step.id):
        return []
    return [
        (index, offset)
        for index, chunk in enumerate(chunks_in(here.job, step.id))
        for offset, bolt in enumerate(chunk.bolts)
        if (chunk.group, bolt) in waiting
    ]


def bolts_open(here: Here, step: TightenStep) -> list[tuple[int, int]]:
    """Return where bolts are neither tightened, nor held, nor left out with a reason, in order: chunk and offset."""
    return [
        (index, offset)
        for index, chunk in enumerate(chunks_in(here.job, step.id))
        for offset in range(len(chunk.bolts))
        if (bolt := bolt_key(here.job, step.id, index, offset)) not in here.state.bolts
        and bolt not in here.state.bolts_skipped
        and not stands_aside(here, step.id, chunk, offset)
    ]


def turns_left(here: Here, step: TightenStep) -> Fraction:
    """Return how much of the turns of a step is open, from 0 to 1."""
    turns = sum(len(chunk.bolts) for chunk in chunks_in(here.job, step.id))
    return Fraction(len(bolts_open(here, step)), turns) if turns else Fraction(1)


def bolts_in_turn(job: Job, step: TightenStep, turn: int) -> list[tuple[int, int]]:
    """Return where the bolts of one pass are, in order: chunk and offset."""
    chunks = enumerate(chunks_in(job, step.id))
    return [(index, at) for index, chunk in chunks if chunk.turn == turn for at in range(len(chunk.bolts))]


def bolt_done(here: Here, step: TightenStep, index: int, offset: int) -> bool:
    """Return whether a bolt was tightened in its pass."""
    return bolt_key(here.job, step.id, index, offset) in here.state.bolts
