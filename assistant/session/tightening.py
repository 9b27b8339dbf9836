"""Tightening by stage and group, down to one bolt at a time."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.fastening.programme import Way
from assistant.fastening.readings import Side
from assistant.fastening.units import Angle, Torque
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import clocks, critical, moving, named, presenting, replies, sentences, tooling
from assistant.session.engine import Engine, target_data, text_of
from assistant.session.places import Chunk
from assistant.session.state import Bolt


@dataclass(frozen=True, slots=True)
class Measured:
    """What was read off at a bolt; ``verdict`` is None when there are no limits to compare with.

    ``tolerance`` is the general one, in percent of the target, where the procedure leaves a limit out.
    """

    value: Torque | Angle
    verdict: Side | None
    tolerance: Decimal | None = None


def here_of(e: Engine) -> tuple[TightenStep, Chunk, tuple[int, ...], int, int]:
    """Return the step, the present chunk and bolts, the chunk's index, and the first bolt's offset in it."""
    here = e.bolt_place()
    step = step_of(e)
    if here is None:
        raise RuntimeError("All bolts of this step are done.")
    return (step, *here)


def step_of(e: Engine) -> TightenStep:
    """Return the present step, which is a tightening."""
    step = e.step
    if not isinstance(step, TightenStep):
        raise TypeError("This is no tightening.")
    return step


def confirm(e: Engine) -> None:
    """Take the present bolts as tightened, and say the next ones."""
    step = step_of(e)
    if e.bolt_place() is None:
        if step.id not in e.state.done:
            moving.step_done(e, step)
        moving.advance(e)
        return
    if not clocks.too_late(e):
        tightened(e, None)


def tightened(e: Engine, measured: Measured | None) -> None:
    """Write down that the present bolts are tightened, with what was read off at a single one, and go on."""
    step, chunk, bolts, index, offset = here_of(e)
    bolts = bolts[:1] if measured else bolts
    places = {(step.id, index, place) for place in range(offset, offset + len(bolts))}
    repeated = bool(places & e.state.bolts)
    e.state.bolts |= places
    e.state.off_accepted -= places
    for place in places:
        e.state.bolts_skipped.pop(place, None)
        e.state.off.pop(place, None)
    more: dict[str, Any] = {}
    if e.rules >= 2:
        choice = tooling.choice_at(e)
        clicks = tooling.clicks_of(chunk, choice, len(bolts))
        more = _more(chunk, measured) | tooling.tool_data(choice) | {"clicks": clicks}
        if e.rules >= 3:
            more["tolerance"] = text_of(measured.tolerance if measured else None)
        turned = named.turned_through(e, step, chunk) if e.rules >= 3 else None
        if turned is not None:
            more["multiplier"] = turned[0]
        if choice is not None and clicks:
            e.state.clicks[choice.wrench.id] = e.state.clicks.get(choice.wrench.id, 0) + clicks
    _remember(e, step, chunk, bolts, places)
    e.record(
        "bolt_tightened" if e.state.one_by_one or measured else "run_tightened",
        step=step.id,
        stage=chunk.stage,
        run=chunk.run,
        group=chunk.group,
        bolts=list(bolts),
        target=target_data(chunk.target),
        repeated=repeated,
        **more,
    )
    _go_on(e, step, index, offset + len(bolts), again=repeated)


def _remember(e: Engine, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...], places: set[Bolt]) -> None:
    """Keep what later stages of these bolts depend on."""
    if chunk.way is Way.TORQUE:
        e.state.torqued_ms[chunk.group] = e.now_ms
        choice = tooling.choice_at(e)
        lead = named.no_ratio(e, step, step.stages[chunk.stage - 1])
        tool = choice.multiplier.id if choice and choice.multiplier else lead.tool if lead and choice is None else ""
        e.state.multiplied[chunk.group] = tool
    elif chunk.way is Way.ANGLE:
        e.state.turned |= places
    elif chunk.way is Way.LOOSEN:
        e.state.turned = {
            (name, index, at)
            for name, index, at in e.state.turned
            if (one := e.chunks[name][index]).group != chunk.group or one.bolts[at] not in bolts
        }


def _more(chunk: Chunk, measured: Measured | None) -> dict[str, Any]:
    return {
        "turn": chunk.turn,
        "way": chunk.way.value,
        "limits": tooling.limits_data(chunk),
        "drag": tooling.quantity_data(chunk.of.drag),
        "reading": tooling.quantity_data(measured.value) if measured else None,
        "verdict": measured.verdict.value if measured and measured.verdict else None,
    }


def pass_on(e: Engine) -> None:
    """Go on past bolts that got their further angle before; nothing is turned, and nothing is put down as turned."""
    step, chunk, bolts, index, offset = here_of(e)
    chunks = e.chunks[step.id]
    e.record("moved", to=step.id)
    offset += len(bolts)
    index, offset = (index, offset) if offset < len(chunk.bolts) else (index + 1, 0)
    e.state.pointers[step.id] = (index, offset)
    if index >= len(chunks):
        if step.id not in e.state.done:
            moving.step_done(e, step)
        moving.advance(e)
        return
    e.settle()
    e.say(*presenting.present(e, whole=chunks[index].turn != chunk.turn))


def identity(step: TightenStep, chunk: Chunk, bolt: int) -> dict[str, Any]:
    """Return the fields that say which bolt in which pass is meant."""
    return {"step": step.id, "stage": chunk.stage, "turn": chunk.turn, "group": chunk.group, "bolts": [bolt]}


def leave_out(e: Engine) -> None:
    """Ask why the present bolts are left out."""
    step = step_of(e)
    here = e.bolt_place()
    if here is None or step.id in e.state.done:
        e.say(sentences.BOLTS_DONE)
        return
    if e.base == "turned":
        e.say(sentences.TURNED, sentences.TURNED_NEXT)
        return
    chunk, bolts, _, _ = here
    critical.demand_reason(e, "skip_bolts", replies.skip_bolts(bolts, chunk.stage), [])


def left_out(e: Engine, reason: str) -> None:
    """Leave the present bolts out, for ``reason``."""
    step, chunk, bolts, index, offset = here_of(e)
    for place in range(offset, offset + len(bolts)):
        e.state.off.pop((step.id, index, place), None)
        if (step.id, index, place) not in e.state.bolts:
            e.state.bolts_skipped[(step.id, index, place)] = reason
    e.record(
        "skipped",
        step=step.id,
        what="bolts",
        stage=chunk.stage,
        run=chunk.run,
        group=chunk.group,
        bolts=list(bolts),
        reason=reason,
        **({"turn": chunk.turn} if e.rules >= 2 else {}),
    )
    _go_on(e, step, index, offset + len(bolts), again=False)


def _go_on(e: Engine, step: TightenStep, index: int, offset: int, *, again: bool) -> None:
    """Move on behind (index, offset): to the next bolts in order when done ``again``, else to the next open ones."""
    chunks = e.chunks[step.id]
    was = chunks[index]
    if offset >= len(chunks[index].bolts):
        index, offset = index + 1, 0
    if not again:
        index, offset = next((p for p in e.open_bolts(step) if p >= (index, offset)), (len(chunks), 0))
    e.state.pointers[step.id] = (index, offset)
    ended = index >= len(chunks)
    if ended or chunks[index].turn != was.turn:
        _stage_done(e, step, was)
    if ended:
        moving.step_done(e, step)
        moving.advance(e)
        return
    e.settle()
    e.say(*presenting.present(e, whole=chunks[index].turn != was.turn))


def _stage_done(e: Engine, step: TightenStep, was: Chunk) -> None:
    chunks = e.chunks[step.id]
    in_turn = [(chunks[index].bolts[at], e.bolt_done(step, index, at)) for index, at in e.bolts_of(step, was.turn)]
    left = [bolt for bolt, done in in_turn if not done]
    more = {"turn": was.turn} if e.rules >= 2 else {}
    e.record("stage_done", step=step.id, stage=was.stage, stages=len(step.stages), not_tightened=left, **more)
    if e.state.one_by_one and len(in_turn) > 1:  # who did one bolt knows that it was one
        e.say(replies.counted(len(in_turn) - len(left)))


def one_by_one(e: Engine, on: bool) -> None:
    """Take the bolts one at a time, or as a group again: what was done stays done."""
    e.state.one_by_one = on
    e.settle()
    e.say(*presenting.present(e, whole=False))


def bolt_key(e: Engine) -> Bolt:
    """Return the key of the first of the present bolts."""
    step, _, _, index, offset = here_of(e)
    return step.id, index, offset
