"""How the timers of a job stand; it changes nothing."""

from __future__ import annotations

from assistant.procedure.model import TimerKind
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.state import TimerState

_WARN_PART = 5
"""An open time is warned of when one fifth of it is left."""


def running(here: Here, timer: str) -> bool:
    """Return whether a timer was started and has not ended."""
    state = here.state.timers.get(timer)
    return state is not None and not state.over


def counts(state: TimerState | None) -> bool:
    """Return whether a timer was started, has not ended, and still matters."""
    return state is not None and not state.over and not state.stopped


def seconds_left(here: Here, timer: str) -> int:
    """Return the seconds [s] that a started timer still runs, rounded up."""
    return max(0, -((here.now_ms - here.state.timers[timer].ends_ms) // 1000))


def is_open_time(here: Here, timer: str) -> bool:
    """Return whether a timer is an open time: one in which to join parts, and not to wait."""
    return here.job.timers[timer].kind is TimerKind.OPEN


def live(here: Here) -> list[str]:
    """Return the timers that run and matter, those that end first in front."""
    ends = [(state.ends_ms, timer) for timer, state in here.state.timers.items() if counts(state)]
    return [timer for _, timer in sorted(ends)]


def warn_ms(here: Here, timer: str) -> int:
    """Return when it is told that a started timer is nearly over [ms]; a wait is told of at its end only."""
    ends_ms = here.state.timers[timer].ends_ms
    if not is_open_time(here, timer):
        return ends_ms
    return ends_ms - here.job.timers[timer].seconds * 1000 // _WARN_PART


def happens_ms(here: Here, timer: str) -> int | None:
    """Return when a timer is heard of next by itself [ms]; None when it is not any more."""
    state = here.state.timers[timer]
    if not counts(state):
        return None
    return state.ends_ms if state.warned else warn_ms(here, timer)


def steps_before(here: Here, timer: str) -> list[str]:
    """Return the ids of the steps that must be done before an open time ends."""
    return [place.key for place in here.places if isinstance(place, StepPlace) and place.step.before_timer == timer]
