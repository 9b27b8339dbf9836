"""A step is done: with what that starts and stops."""

from __future__ import annotations

from assistant.facts.steps import StepDone
from assistant.procedure.model import Step
from assistant.session.deciding import moving, photos, second, timers
from assistant.session.deciding.core import Deciding


def step_done(d: Deciding, step: Step) -> None:
    """Put down that ``step`` is done; its timer begins, and an open time that had to wait for it may stop."""
    repeated = step.id in d.state.done
    d.put(StepDone(step=step.id, repeated=repeated))
    if step.starts_timer and not repeated:
        running = d.state.timers.get(step.starts_timer)
        if running is None or running.visit != d.state.visit:
            timers.start(d, step.starts_timer)
    if step.before_timer:
        timers.stop_if_last(d, step.before_timer)


def done_and_on(d: Deciding, step: Step) -> None:
    """Put down that ``step`` is done, and go on to the next place."""
    step_done(d, step)
    go_on(d, step)


def go_on(d: Deciding, step: Step) -> None:
    """Go on to the next place behind ``step``, which is done; its photo, and whoever witnesses it, come before that."""
    if not (photos.asks_photo(d, step) or second.asks_witness(d, step)):
        moving.advance(d)
