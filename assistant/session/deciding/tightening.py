"""Tightening by stage and group, down to one bolt at a time."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from assistant.events import Command
from assistant.facts.asking import Skipped, SkippedWhat
from assistant.facts.codes import Side, Way
from assistant.facts.going import BoltAt, Moved, RefusedWhy
from assistant.facts.kinds.tighten import AskSkipBolts, BoltsTaken, BoltsTightened, StageDone
from assistant.facts.kinds.trouble import AskBoltLeft
from assistant.fastening.quantities import Angle, Torque
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import (
    Chunk,
    bolt_at,
    bolt_done,
    bolt_place,
    bolts_in_turn,
    chunks_in,
    index_of,
    one_at_a_time,
    only_slackens,
    pointer,
    stands_aside,
)
from assistant.session.deciding import asking, moving, retightening, steps, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.reaching import (
    bolts_here,
    first_waiting,
    next_open,
    not_aside,
    reach,
    tightening_here,
)
from assistant.session.tools import chosen, named, values
from assistant.session.turning import Standing


@dataclass(frozen=True, slots=True)
class Measured:
    """What was read off at a bolt; ``verdict`` is None when there are no limits to compare with.

    ``tolerance`` is the general one, in percent of the target, where the procedure leaves a limit out.
    """

    value: Torque | Angle
    verdict: Side | None
    tolerance: Decimal | None = None


# Done


def take_as_tight(d: Deciding, _: Command) -> None:
    """Take the present bolts as tightened, and go to the next ones."""
    step = tightening_here(d)
    if bolt_place(d) is None:
        _end(d, step)
    elif not timers.too_late(d):
        tightened(d, None)


def _end(d: Deciding, step: TightenStep) -> None:
    """Go on behind the last bolt."""
    if step.id not in d.state.done:
        steps.step_done(d, step)
    steps.go_on(d, step)


def tightened(d: Deciding, measured: Measured | None) -> None:
    """Put down that the present bolts are tightened, with what was read off at a single one, and go on."""
    step, chunk, bolts, index, offset = bolts_here(d)
    bolts = bolts[:1] if measured else bolts
    choice = chosen.choice_at(d)
    taken = chosen.taken(choice)
    if choice is None:
        taken["multiplier"] = _multiplier(d, step, chunk)
    elif (turned := named.turned_through(d, step, chunk)) is not None:
        taken["multiplier"] = turned[0]
    first = retightening.first_torque(d, step, chunk, bolts[0]) if measured and chunk.way is Way.CHECK else None
    repeated = any(bolt_done(d, step, index, offset + at) for at in range(len(bolts)))
    d.put(
        BoltsTightened(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            run=chunk.run,
            group=chunk.group,
            bolts=bolts,
            way=chunk.way,
            target=values.as_quantity(chunk.target),
            limits=values.bounds_of(chunk),
            drag=values.as_quantity(chunk.of.drag),
            **taken,
            clicks=chosen.clicks_of(chunk, choice, len(bolts)),
            reading=values.as_quantity(measured.value) if measured else None,
            verdict=measured.verdict if measured else None,
            tolerance=measured.tolerance if measured else None,
            single=one_at_a_time(d, chunk) or measured is not None,
            repeated=repeated,
            at_ms=d.now_ms,
        )
    )
    if chunk.way is Way.LOOSEN and only_slackens(d.job, step.id):
        retightening.came_loose(d, step.id, chunk.group, bolts)
    elif measured:
        retightening.compare_again(d, step, chunk, bolts[0], measured.value, first)
    _onward(d, step, index, offset + len(bolts), again=repeated)


def _multiplier(d: Deciding, step: TightenStep, chunk: Chunk) -> str | None:
    """Return the multiplier that bolts went through although no tool was chosen: its ratio may not be known."""
    turned = named.turned_through(d, step, chunk)
    if turned is not None:
        return turned[0]
    lead = named.no_ratio(d, step, chunk) if chunk.way is Way.TORQUE else None
    return lead.tool if lead else None


def _onward(d: Deciding, step: TightenStep, index: int, offset: int, *, again: bool) -> None:
    """Move on behind (index, offset): to the next bolts in order when done ``again``, else to the next open ones."""
    was = chunks_in(d.job, step.id)[index]
    if again:
        bolt = bolt_at(d.job, step.id, *not_aside(d, step, index, offset)) or first_waiting(d, step)
    else:
        bolt = next_open(d, step, (index, offset))
    if bolt is None or bolt.turn != was.turn:
        stage_done(d, step, was)
    reach(d, step, bolt)
    if bolt is None:
        steps.done_and_on(d, step)


def stage_done(d: Deciding, step: TightenStep, was: Chunk) -> None:
    """Put down that the pass of ``was`` came to its end, with the bolts that were not tightened."""
    chunks = chunks_in(d.job, step.id)
    left = [
        chunks[index].bolts[at]
        for index, at in bolts_in_turn(d.job, step, was.turn)
        if not bolt_done(d, step, index, at)
    ]
    d.put(StageDone(step=step.id, stage=was.stage, turn=was.turn, not_tightened=tuple(left)))


# Going without tightening


def pass_on(d: Deciding, _: Command) -> None:
    """Go on past bolts that got their further angle before; nothing is turned, and nothing is put down as turned."""
    at = bolts_here(d)
    step = at.step
    d.put(Moved(place=step.id))
    following = not_aside(d, step, at.number, at.offset + len(at.bolts))
    bolt = bolt_at(d.job, step.id, *following) or first_waiting(d, step)
    reach(d, step, bolt)
    if bolt is None:
        _end(d, step)


def back(d: Deciding, step: TightenStep) -> bool:
    """Go to the bolts before; return whether there are any in the step."""
    chunks = chunks_in(d.job, step.id)
    places: list[tuple[int, int]] = []
    for index, chunk in enumerate(chunks):
        if one_at_a_time(d, chunk):
            places += [(index, offset) for offset in range(1 if chunk.within.together else len(chunk.bolts))]
        else:
            places.append(not_aside(d, step, index, 0))
    now = pointer(d, step)
    before = [at for at in places if at < now and not stands_aside(d, step.id, chunks[at[0]], at[1])]
    if not before:
        return False
    d.put(Moved(place=step.id))
    reach(d, step, bolt_at(d.job, step.id, *before[-1]))
    return True


def leave_out(d: Deciding, step: TightenStep) -> bool:
    """Ask why the present bolts are left out."""
    place = bolt_place(d)
    if place is None:
        d.refuse(RefusedWhy.BOLTS_DONE)
    elif d.base == Standing.TURNED:
        d.refuse(RefusedWhy.TURNED)
    elif d.base == Standing.HELD:
        asking.demand_reason(d, AskBoltLeft(place[0].group, place[1][0]))
    else:
        chunk, bolts, _, _ = place
        asking.demand_reason(d, AskSkipBolts(step.id, chunk.stage, chunk.turn, chunk.run, bolts))
    return True


def _left_out(d: Deciding, question: AskSkipBolts, reason: str) -> None:
    """Leave the bolts out that were asked about."""
    step = tightening_here(d)
    index, offset = index_of(d.job, step.id, BoltAt(question.turn, question.run, question.bolts[0]))
    d.put(
        Skipped(
            what=SkippedWhat.BOLTS,
            place=step.id,
            reason=reason,
            stage=question.stage,
            turn=question.turn,
            run=question.run,
            group=chunks_in(d.job, step.id)[index].group,
            bolts=question.bolts,
        )
    )
    _onward(d, step, index, offset + len(question.bolts), again=False)


def one_by_one(d: Deciding, _: Command) -> None:
    """Take the bolts one at a time: what was done stays done."""
    _take(d, one_by_one=True)


def all_together(d: Deciding, _: Command) -> None:
    """Take the bolts as a group again: what was done stays done."""
    _take(d, one_by_one=False)


def _take(d: Deciding, *, one_by_one: bool) -> None:
    d.put(BoltsTaken(one_by_one=one_by_one))
    moving.settle(d)


add_grant(AskSkipBolts, _left_out, leaves_out=True)
