"""Counting how often bolts are tightened again, and comparing a check with what they got first."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from assistant.advice.judge import moved_late
from assistant.facts import Quantity
from assistant.facts.codes import ReadAt
from assistant.facts.kinds.retightened import MovedOnEarly, RetighteningCounted
from assistant.fastening.quantities import Angle, Torque
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.joint_allows import bolt_course
from assistant.session.tools.values import as_quantity, value_of


def came_loose(d: Deciding, step: str, group: str, bolts: Iterable[int]) -> None:
    """Count that ``bolts`` came loose in ``step`` and go in again, where the procedure says how often they may.

    Those that came loose before and were not tightened since are counted already; the ones that are out of the machine
    for good, or in whose place new ones come anyway, do not go in again.
    """
    state, most = d.state, d.job.groups[group].retighten_at_most
    out = state.came_loose | state.worn | state.held.keys()
    some = [bolt for bolt in bolts if (group, bolt) not in out]
    if most is None or not some:
        return
    times = tuple(state.retightened.get((group, bolt), 0) + 1 for bolt in some)
    spent = tuple(bolt for bolt, time in zip(some, times, strict=True) if time > most)
    d.put(RetighteningCounted(step=step, group=group, bolts=tuple(some), times=times, at_most=most, spent=spent))


def compare_again(
    d: Deciding, step: TightenStep, chunk: Chunk, bolt: int, again: Torque | Angle, first: Torque | None
) -> None:
    """Doubt a bolt that moved on below the part of its ``first`` torque that the procedure asks for."""
    least = d.job.groups[chunk.group].moves_on_from
    if least is None or first is None or not isinstance(again, Torque):
        return
    if not moved_late({bolt: first.size}, {bolt: again.size}, Fraction(least)):
        return
    before, now = as_quantity(first), as_quantity(again)
    assert before is not None
    assert now is not None
    d.put(
        MovedOnEarly(
            step=step.id, stage=chunk.stage, turn=chunk.turn, run=chunk.run, group=chunk.group, bolt=bolt,
            first=before, again=now, least=least,
        )
    )  # fmt: skip


def first_torque(here: Here, step: TightenStep, chunk: Chunk, bolt: int) -> Torque | None:
    """Return what ``bolt`` got before the pass of ``chunk``: what was read off behind its angle, or its last torque."""
    course = bolt_course(here, step, chunk, bolt)
    if not course.angle.size:
        return course.torque
    found: Quantity | None = None
    steps = here.job.steps_of(TightenStep)
    for one in steps[: steps.index(step) + 1]:
        for taken in chunks_in(here.job, one.id):
            key = (one.id, taken.turn, taken.run, bolt)
            if taken.group == chunk.group and taken.within.read is ReadAt.TORQUE and key in here.state.read:
                found = here.state.read[key]
    value = None if found is None else value_of(found)
    return value if isinstance(value, Torque) else None
