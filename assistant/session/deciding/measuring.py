"""What is read off at a bolt, what is decided when it is out of limits, and that new fasteners are new."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from assistant.events import Command
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.codes import Side, Way
from assistant.facts.going import RefusedWhy
from assistant.facts.kinds.tighten import (
    AskBoltReading,
    AskLoosened,
    AskReplace,
    BoltAgain,
    BoltReplaced,
    BoltsLoosened,
    NewConfirmed,
    OutOfLimits,
    Undone,
)
from assistant.fastening.quantities import AngleUnit
from assistant.fastening.readings import with_unit
from assistant.faults import Fault
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_key, bolt_place, chunks_in, only_slackens
from assistant.session.deciding import asking, moving, retightening, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.reaching import bolts_here, front, reach
from assistant.session.deciding.tightening import Measured, tightened
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.tools import limits, values
from assistant.session.turning import Standing

# Readings


def reading(d: Deciding, command: Command) -> None:
    """Take a value that was read off at the present bolt; it is done when the value is within its limits."""
    place = bolt_place(d)
    if place is None:
        d.refuse(RefusedWhy.BOLTS_DONE)
        return
    chunk, bolts, _, _ = place
    if chunk.way is Way.LOOSEN:
        d.refuse(RefusedWhy.NOTHING_TO_READ)
    elif len(bolts) > 1 and d.base != Standing.OUT_OF_LIMITS:
        d.refuse(RefusedWhy.TOGETHER if chunk.within.together else RefusedWhy.ONE_READING)
    elif not timers.too_late(d):
        _read(d, chunk, bolts[0], command.number if command.number is not None else Decimal(0))


def _read(d: Deciding, chunk: Chunk, bolt: int, number: Decimal) -> None:
    value = with_unit(number, limits.reading_unit(d, chunk) or AngleUnit.DEGREE)
    quantity = None if isinstance(value, Fault) else values.as_quantity(value)
    if isinstance(value, Fault) or quantity is None:
        d.refuse(RefusedWhy.NOTHING_TO_READ)  # the grammar has no such number
        return
    side = limits.side_of(d, value, chunk)
    tolerance = limits.tolerance_of(d, chunk)
    if side in (None, Side.WITHIN):
        tightened(d, Measured(value, side, tolerance))
        return
    assert side is not None
    step = bolts_here(d)[0]
    d.put(
        OutOfLimits(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            run=chunk.run,
            group=chunk.group,
            bolt=bolt,
            reading=quantity,
            limits=values.bounds_of(chunk),
            verdict=side,
            tolerance=tolerance,
        )
    )


def ask_why(d: Deciding, _: Command) -> None:
    """Ask for the words with which a reading out of limits is put down as it is."""
    at = bolts_here(d)
    off = d.state.off[bolt_key(d.job, at.step.id, at.number, at.offset)]
    asking.demand_reason(d, AskBoltReading(at.step.id, at.bolts[0], off.reading))


def _stands(here: Here, question: AskBoltReading) -> bool:
    """Return whether a reading out of limits is still what the present bolt waits with."""
    place = bolt_place(here)
    if place is None or here.base != Standing.OUT_OF_LIMITS or place[1][0] != question.bolt:
        return False
    off = here.state.off.get(bolt_key(here.job, question.step, place[2], place[3]))
    return off is not None and off.reading == question.reading


def _accepted(d: Deciding, question: AskBoltReading, reason: str) -> None:
    """Put a reading out of limits down as it is, for a reason, and go on."""
    step, chunk, _, index, offset = bolts_here(d)
    side = d.state.off[bolt_key(d.job, step.id, index, offset)].side
    d.put(
        Deviated(
            step=step.id,
            what=DeviationWhat.BOLT_READING,
            reason=reason,
            reading=question.reading,
            stage=chunk.stage,
            turn=chunk.turn,
            run=chunk.run,
            group=chunk.group,
            bolts=(question.bolt,),
        )
    )
    tightened(d, Measured(values.value_of(question.reading), side, limits.tolerance_of(d, chunk)))


# Again, and new ones


def again(d: Deciding, _: Command) -> None:
    """Do the present bolts again: after a reading out of limits, or when they were loosened after a further angle."""
    step, chunk, bolts = bolts_here(d)[:3]
    if chunk.way is Way.ANGLE:
        asking.ask(d, AskLoosened(step.id, bolts))
        return
    bolt = bolts[0]
    d.put(BoltAgain(step=step.id, stage=chunk.stage, turn=chunk.turn, run=chunk.run, group=chunk.group, bolt=bolt))
    moving.settle(d)


def ask_loosened(d: Deciding, _: Command) -> None:
    """Read back that the present bolts were loosened, whose further angle was taken back."""
    step, _chunk, bolts = bolts_here(d)[:3]
    asking.ask(d, AskLoosened(step.id, bolts))


def _loosened(d: Deciding, question: AskLoosened, _reason: str) -> None:
    """Take bolts as loosened: they begin again with their first stage, and new if they are used once."""
    step, chunk = bolts_here(d)[:2]
    undone, reopened, first = taken_back(d, chunk.group, question.bolts, d.at)
    d.put(
        BoltsLoosened(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            group=chunk.group,
            bolts=question.bolts,
            undone=undone,
            reopened=reopened,
            worn=d.job.groups[chunk.group].single_use,
        )
    )
    retightening.came_loose(d, step.id, chunk.group, question.bolts)
    begin_again(d, step, first)


def ask_replace(d: Deciding, _: Command) -> None:
    """Read back that the present bolt is to be replaced."""
    at = bolts_here(d)
    if len(at.bolts) > 1:
        d.refuse(RefusedWhy.REPLACE_ONE)
    else:
        asking.ask(d, AskReplace(at.step.id, at.bolts[0]))


def _replaced(d: Deciding, question: AskReplace, _reason: str) -> None:
    """Take a bolt as replaced: the new one begins with the first stage of the old one."""
    step, chunk = bolts_here(d)[:2]
    bolts = (question.bolt,)
    undone, reopened, first = taken_back(d, chunk.group, bolts, d.at)
    d.put(
        BoltReplaced(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            group=chunk.group,
            bolts=bolts,
            undone=undone,
            reopened=reopened,
        )
    )
    begin_again(d, step, first)


def taken_back(
    d: Deciding, group: str, bolts: tuple[int, ...], up_to: int
) -> tuple[tuple[Undone, ...], tuple[str, ...], int]:
    """Return what ``bolts`` had got, the steps that this opens again, and where the first of them is.

    Places are looked at ``up_to`` that index.

    A step that only slackens bolts takes nothing back. Of bolts whose further angle was taken back, what they got in
    later steps counts no more either: it is loose with the rest.
    """
    undone: list[Undone] = []
    reopened: list[str] = []
    first = d.at
    if any((group, bolt) in d.state.to_loosen for bolt in bolts):
        up_to = len(d.job.places)
    for at, place in enumerate(d.job.places[: up_to + 1]):
        step = place.step if isinstance(place, StepPlace) else None
        if not isinstance(step, TightenStep) or only_slackens(d.job, step.id):
            continue
        found = list(_places(d, step, group, bolts))
        undone += found
        if found and step.id in d.state.done:
            reopened.append(step.id)
        if any((one.step, one.turn, one.run, one.bolt) in d.state.bolts for one in found):
            first = min(first, at)
    return tuple(undone), tuple(reopened), first


def _places(d: Deciding, step: TightenStep, group: str, bolts: tuple[int, ...]) -> Iterator[Undone]:
    for chunk in chunks_in(d.job, step.id):
        for bolt in chunk.bolts if chunk.group == group else ():
            if bolt in bolts:
                yield Undone(step.id, chunk.turn, chunk.run, bolt)


def begin_again(d: Deciding, step: TightenStep, first: int) -> None:
    """Go to the first stage that the bolts went through."""
    if first != d.at:
        moving.arrive(d, first)
    else:
        reach(d, step, front(d, step))


def take_as_new(d: Deciding, _: Command) -> None:
    """Take "confirmed": the fasteners of the present group are new, or those in the place of loosened ones."""
    step, chunk, present = bolts_here(d)[:3]
    group = chunk.group
    worn = sorted(bolt for bolt in present if (group, bolt) in d.state.worn)
    every = sorted({bolt for one in chunks_in(d.job, step.id) if one.group == group for bolt in one.bolts})
    d.put(NewConfirmed(step=step.id, group=group, bolts=tuple(worn or every), in_place_of_worn=bool(worn)))
    moving.settle(d)


add_grant(AskBoltReading, _accepted, stands=_stands)
add_grant(AskLoosened, _loosened)
add_grant(AskReplace, _replaced)
