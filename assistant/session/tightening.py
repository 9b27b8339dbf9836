"""Tightening by stage and group, down to one bolt at a time."""

from __future__ import annotations

from assistant.procedure.model import TightenStep
from assistant.session import clocks, critical, moving, replies, sentences
from assistant.session.engine import Engine, target_data


def _step(e: Engine) -> TightenStep:
    step = e.step
    if not isinstance(step, TightenStep):
        raise TypeError("This is no tightening.")
    return step


def confirm(e: Engine) -> None:
    """Take the present bolts as tightened, and say the next ones."""
    step = _step(e)
    here = e.bolt_place()
    if here is None:
        if step.id not in e.state.done:
            moving.step_done(e, step)
        moving.advance(e)
        return
    if clocks.too_late(e):
        return
    chunk, bolts, index, offset = here
    places = {(step.id, index, place) for place in range(offset, offset + len(bolts))}
    repeated = bool(places & e.state.bolts)
    e.state.bolts |= places
    for place in places:
        e.state.bolts_skipped.pop(place, None)
    e.record(
        "bolt_tightened" if e.state.one_by_one else "run_tightened",
        step=step.id,
        stage=chunk.stage,
        run=chunk.run,
        group=chunk.group,
        bolts=list(bolts),
        target=target_data(chunk.target),
        repeated=repeated,
    )
    _go_on(e, step, index, offset + len(bolts), again=repeated)


def leave_out(e: Engine) -> None:
    """Ask why the present bolts are left out."""
    step = _step(e)
    here = e.bolt_place()
    if here is None or step.id in e.state.done:
        e.say(sentences.BOLTS_DONE)
        return
    chunk, bolts, _, _ = here
    critical.demand_reason(e, "skip_bolts", replies.skip_bolts(bolts, chunk.stage), [])


def left_out(e: Engine, reason: str) -> None:
    """Leave the present bolts out, for ``reason``."""
    step = _step(e)
    here = e.bolt_place()
    if here is None:
        raise RuntimeError("There are no bolts to leave out.")
    chunk, bolts, index, offset = here
    for place in range(offset, offset + len(bolts)):
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
    )
    _go_on(e, step, index, offset + len(bolts), again=False)


def _go_on(e: Engine, step: TightenStep, index: int, offset: int, *, again: bool) -> None:
    """Move on behind (index, offset): to the next bolts in order when done ``again``, else to the next open ones."""
    chunks = e.chunks[step.id]
    was = chunks[index].stage
    if offset >= len(chunks[index].bolts):
        index, offset = index + 1, 0
    if not again:
        index, offset = next((p for p in e.open_bolts(step) if p >= (index, offset)), (len(chunks), 0))
    e.state.pointers[step.id] = (index, offset)
    ended = index >= len(chunks)
    if ended or chunks[index].stage != was:
        _stage_done(e, step, was)
    if ended:
        moving.step_done(e, step)
        moving.advance(e)
        return
    e.say(*moving.present(e, whole=chunks[index].stage != was))


def _stage_done(e: Engine, step: TightenStep, stage: int) -> None:
    left = [
        chunk.bolts[offset]
        for index, chunk in enumerate(e.chunks[step.id])
        if chunk.stage == stage
        for offset in range(len(chunk.bolts))
        if (step.id, index, offset) not in e.state.bolts
    ]
    e.record("stage_done", step=step.id, stage=stage, stages=len(step.stages), not_tightened=left)


def one_by_one(e: Engine, on: bool) -> None:
    """Take the bolts one at a time, or as a group again: what was done stays done."""
    e.state.one_by_one = on
    e.settle()
    e.say(*moving.present(e, whole=False))
