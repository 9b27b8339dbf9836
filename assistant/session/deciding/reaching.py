"""Coming to bolts: which are next, with which tools, and that they waited long."""

from __future__ import annotations

from typing import NamedTuple

from assistant.facts.going import BoltAt
from assistant.facts.kinds.tighten import LongPause, PlansDropped, Reached
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import turning
from assistant.session.chunks import (
    Chunk,
    bolt_at,
    bolt_done,
    bolt_place,
    bolts_open,
    bolts_waiting,
    chunks_in,
    index_of,
    pointer,
    stands_aside,
)
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.tools import chosen


class BoltPlace(NamedTuple):
    """The step, the present chunk and bolts, the number of the chunk (from zero), and the first bolt's offset in it."""

    step: TightenStep
    chunk: Chunk
    bolts: tuple[int, ...]
    number: int
    offset: int


def bolts_here(here: Here) -> BoltPlace:
    """Return where the job is among the bolts of its present step."""
    place = bolt_place(here)
    if place is None:
        raise RuntimeError("All bolts of this step are done.")
    return BoltPlace(tightening_here(here), *place)


def tightening_here(here: Here) -> TightenStep:
    """Return the present step, which is a tightening."""
    step = here.step
    if not isinstance(step, TightenStep):
        raise TypeError("This is no tightening.")
    return step


def front(d: Deciding, step: TightenStep) -> BoltAt | None:
    """Return the first bolt that was not tightened, one that is held open only behind the others; None for none."""
    for index, chunk in enumerate(chunks_in(d.job, step.id)):
        for offset in range(len(chunk.bolts)):
            if not bolt_done(d, step, index, offset) and not stands_aside(d, step.id, chunk, offset):
                return bolt_at(d.job, step.id, index, offset)
    return first_waiting(d, step)


def first_waiting(d: Deciding, step: TightenStep) -> BoltAt | None:
    """Return the first bolt of ``step`` that is held open; None where none is."""
    waiting = bolts_waiting(d, step)
    return bolt_at(d.job, step.id, *waiting[0]) if waiting else None


def next_open(d: Deciding, step: TightenStep, at: tuple[int, int]) -> BoltAt | None:
    """Return the next open bolt from (index, offset) on, then one that is held open; None behind the last one."""
    found = next((one for one in bolts_open(d, step) if one >= at), None)
    return first_waiting(d, step) if found is None else bolt_at(d.job, step.id, *found)


def not_aside(d: Deciding, step: TightenStep, index: int, offset: int) -> tuple[int, int]:
    """Return (index, offset), or what comes next in order past bolts that are held open or were given up."""
    chunks = chunks_in(d.job, step.id)
    while index < len(chunks):
        if offset >= len(chunks[index].bolts):
            index, offset = index + 1, 0
        elif stands_aside(d, step.id, chunks[index], offset):
            offset += 1
        else:
            break
    return index, offset


def settle_bolts(d: Deciding, step: TightenStep) -> None:
    """Choose the tools of a pass that begins, and put down a long pause before a further angle."""
    place = bolt_place(d)
    if place is None or d.unread is not None:
        return
    turn = place[0].turn
    if d.base not in turning.NOT_NOW and not chosen.is_planned(d, step, turn):
        tools = chosen.tools_chosen(d, step, turn)
        if tools is not None:
            d.put(tools)
    due = turning.pause_ms(d)
    if due is not None and due <= d.now_ms:
        chunk = place[0]
        seconds = (d.now_ms - d.state.torqued_ms[chunk.group]) // 1000
        d.put(LongPause(step=step.id, stage=chunk.stage, turn=turn, group=chunk.group, seconds=seconds))


def drop_plans(d: Deciding) -> None:
    """Let tools be chosen anew, once in an answer: other ones may be at hand, and days may have passed."""
    if d.state.planned and not any(isinstance(fact, PlansDropped) for fact in d.facts):
        d.put(PlansDropped())


def return_to(d: Deciding, step: TightenStep, bolt: BoltAt | None) -> bool:
    """Go back to ``bolt``, or stay where the job is in ``step``, or go to its first open bolt: whichever is first."""
    at = min(pointer(d, step), index_of(d.job, step.id, bolt), *bolts_open(d, step)[:1])
    reach(d, step, bolt_at(d.job, step.id, *at))
    return True


def reach(d: Deciding, step: TightenStep, bolt: BoltAt | None) -> None:
    """Make ``bolt`` the next one."""
    d.put(Reached(step=step.id, bolt=bolt))
    if bolt is not None:
        settle_bolts(d, step)
