"""Timers of the procedure: begun, asked about, too late for, stopped, and let run on."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import AskLate, AskTimer, Deviated, DeviationWhat
from assistant.facts.going import RefusedWhy
from assistant.facts.steps import (
    TimerAgreed,
    TimerEnded,
    TimerRunsOn,
    TimersDoubted,
    TimerStarted,
    TimerStopped,
)
from assistant.procedure.model import Step
from assistant.session import timing
from assistant.session.deciding import asking
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.part import part_of
from assistant.session.table import Layer, row_of


def start(d: Deciding, timer: str, *, aloud: bool = False) -> None:
    """Start or restart a timer; ``aloud`` when that was asked for by itself."""
    seconds = d.job.timers[timer].seconds
    d.put(
        TimerStarted(
            timer=timer,
            seconds=seconds,
            ends_ms=d.now_ms + seconds * 1000,
            visit=d.state.visit if aloud else 0,
            repeated=timer in d.state.timers,
        )
    )


def start_here(d: Deciding, _: Command) -> None:
    """Start the timer of this step; one that runs since this visit, or is waited for here, is left alone."""
    step = d.step
    waited = part_of(step).waits_for(step) if step is not None else None
    timer = waited or (step.starts_timer if step is not None else None)
    if timer is None:
        d.refuse(RefusedWhy.NO_TIMER_HERE)
        return
    state = d.state.timers.get(timer)
    known = waited is not None or (state is not None and state.visit == d.state.visit)
    if state is not None and timing.counts(state) and not state.doubted and known:
        d.refuse(RefusedWhy.TIMER_RUNS)
        return
    start(d, timer, aloud=True)


def too_late(d: Deciding) -> bool:
    """Return True, and ask, when this step had to come before the end of an open time that is over."""
    step = d.step
    if step is None or not step.before_timer or (step.id, step.before_timer) in d.state.late_accepted:
        return False
    timer = step.before_timer
    run_on(d, step)  # it may have been stopped by leaving steps out, and one of them is done after all
    state = d.state.timers.get(timer)
    if state is not None and state.doubted and ask_about_doubted(d, timer):
        return True
    if not timing.is_open_time(d, timer) or (state is not None and (state.stopped or not state.over)):
        return False
    asking.offer(d, AskLate(step=step.id, timer=timer, started=state is not None))
    return True


def _late(d: Deciding, question: AskLate, reason: str) -> None:
    """Allow a step after its open time; where the job is, is told again by :mod:`assistant.session.telling`."""
    d.put(Deviated(step=question.step, what=DeviationWhat.OPEN_TIME, timer=question.timer, reason=reason))


def doubt(d: Deciding) -> None:
    """Doubt the timers that run, since the computer's clock was set, and ask about the first of them."""
    running = tuple(name for name, state in d.state.timers.items() if timing.counts(state) and not state.doubted)
    if running:
        d.put(TimersDoubted(timers=running))
    if row_of(d.phase).layer is Layer.WORK:
        ask_about_doubted(d)


def ask_about_doubted(d: Deciding, timer: str = "") -> bool:
    """Ask about the timer ``timer``, or the first of all, that is doubted; return whether there is one."""
    for name, state in d.state.timers.items():
        if state.doubted and not state.stopped and timer in ("", name):
            asking.ask(d, AskTimer(timer=name, seconds_left=_left(d, name)))
            return True
    return False


def _left(d: Deciding, timer: str) -> int:
    return 0 if d.state.timers[timer].over else timing.seconds_left(d, timer)


def _agreed(d: Deciding, question: AskTimer, _reason: str) -> None:
    """Take it that a timer is right although the computer's clock was set, and ask about the next."""
    d.put(TimerAgreed(timer=question.timer, seconds_left=_left(d, question.timer)))
    ask_about_doubted(d)


def stop_if_last(d: Deciding, timer: str) -> None:
    """Stop an open time when every step that had to come before its end is done or left out."""
    if not timing.counts(d.state.timers.get(timer)) or not timing.is_open_time(d, timer):
        return
    left_out = tuple(step for step in timing.steps_before(d, timer) if step not in d.state.done)
    if all(step in d.state.skipped for step in left_out):
        d.put(TimerStopped(timer=timer, left_out=left_out))


def run_on(d: Deciding, step: Step) -> None:
    """Let the open time of ``step``, which was left out and is come back to, run on as if it had never stopped."""
    timer = step.before_timer or ""
    state = d.state.timers.get(timer)
    if state is None or not state.stopped or step.id in d.state.done:
        return
    d.put(TimerRunsOn(timer=timer))
    if state.ends_ms <= d.now_ms and not state.over:
        d.put(TimerEnded(timer=timer))


add_grant(AskLate, _late, anew=("go_back",), passes=False)
add_grant(AskTimer, _agreed)
