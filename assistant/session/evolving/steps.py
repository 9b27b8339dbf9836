"""What was done in steps, and timers."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import steps
from assistant.session.evolving.table import takes_up
from assistant.session.state import State, TimerState


@takes_up(steps.StepDone)
def _step_done(state: State, fact: steps.StepDone) -> State:
    """A step is done; if it is a gate, it is passed."""
    step = fact.step
    skipped = {place: why for place, why in state.skipped.items() if place != step}
    held = (
        {one: question for one, question in state.gates_held.items() if one != step}
        if state.gates_held
        else state.gates_held
    )
    seen = state.witnessed if fact.repeated else state.witnessed - {step}
    order = (*(one for one in state.done_in_order if one != step), step)
    return replace(
        state, done=state.done | {step}, done_in_order=order, skipped=skipped, gates_held=held, witnessed=seen
    )


def deviates(state: State, step: str, *, is_so: bool) -> State:
    """Remember whether the last answer of a step is not as it should be.

    Where a gate was released for it, the release is used up, and holds until there is another answer.
    """
    released = state.released
    if step in released:
        released = {one: to_come for one, to_come in released.items() if one != step}
        released |= {step: False} if state.released[step] else {}
    deviations = state.deviations | {step} if is_so else state.deviations - {step}
    return replace(state, deviations=deviations, released=released)


def _timer(state: State, name: str, **changes: object) -> State:
    timer = state.timers.get(name)
    if timer is None:
        return state
    return replace(state, timers={**state.timers, name: replace(timer, **changes)})


@takes_up(steps.TimerStarted)
def _timer_started(state: State, fact: steps.TimerStarted) -> State:
    """A timer runs; what was allowed after its last end is not allowed after this one."""
    late = frozenset(pair for pair in state.late_accepted if pair[1] != fact.timer)
    timers = {**state.timers, fact.timer: TimerState(fact.ends_ms, fact.visit)}
    return replace(state, timers=timers, late_accepted=late)


@takes_up(steps.TimerWarned)
def _timer_warned(state: State, fact: steps.TimerWarned) -> State:
    """It was told that a timer is nearly over."""
    return _timer(state, fact.timer, warned=True)


@takes_up(steps.TimerEnded)
def _timer_ended(state: State, fact: steps.TimerEnded) -> State:
    """The time of a timer is over."""
    return _timer(state, fact.timer, warned=True, over=True)


@takes_up(steps.TimersDoubted)
def _timers_doubted(state: State, fact: steps.TimersDoubted) -> State:
    """The computer's clock was set while they ran."""
    for name in fact.timers:
        state = _timer(state, name, doubted=True)
    return state


@takes_up(steps.TimerAgreed)
def _timer_agreed(state: State, fact: steps.TimerAgreed) -> State:
    """A timer is right although the computer's clock was set."""
    return _timer(state, fact.timer, doubted=False)


@takes_up(steps.TimerStopped)
def _timer_stopped(state: State, fact: steps.TimerStopped) -> State:
    """An open time does not matter any more."""
    return _timer(state, fact.timer, stopped=True)


@takes_up(steps.TimerRunsOn)
def _timer_runs_on(state: State, fact: steps.TimerRunsOn) -> State:
    """An open time matters again."""
    return _timer(state, fact.timer, stopped=False)
