"""What may be done while something cures or cools: nothing that depends on it, moves a lock, or lets a time run out."""

from __future__ import annotations

from assistant.session import timing
from assistant.session.here import Here
from assistant.session.lasting import From, seconds_of
from assistant.session.obstacles import in_the_way, needs_of
from assistant.session.part import part_of
from assistant.session.places import StepPlace


def waits_running(here: Here) -> list[str]:
    """Return the timers that run and are waited for, those that end first in front."""
    return [timer for timer in timing.live(here) if not timing.is_open_time(here, timer)]


def may_be_done(here: Here) -> list[StepPlace]:
    """Return the open steps that may be done while something is waited for, in the order of the file."""
    return [
        place
        for place in here.job.places
        if isinstance(place, StepPlace) and _is_free(here, place) and _may(here, place)
    ]


def _is_free(here: Here, place: StepPlace) -> bool:
    """Return whether a step is open, not the present one, no wait itself, and moves no lock."""
    state, step = here.state, place.step
    settled = place.key in state.done or place.key in state.skipped or place.key == state.place
    return not (settled or step.lock or step.unlock or part_of(step).waits_for(step))


def _may(here: Here, place: StepPlace) -> bool:
    needed = needs_of(here, place)
    return all(name in here.state.done for name in needed) and in_the_way(here, place) is None and _in_time(here, place)


def _in_time(here: Here, place: StepPlace) -> bool:
    """Return whether a step leaves every open time that runs enough for what must come before its end.

    A length that nobody knows is too long. A step that begins an open time is none for a wait.
    """
    step = place.step
    if step.starts_timer and timing.is_open_time(here, step.starts_timer):
        return False
    for timer in timing.live(here):
        if timing.is_open_time(here, timer):
            length = _seconds(here, timer, place)
            if length is None or length > timing.seconds_left(here, timer):
                return False
    return True


def _seconds(here: Here, timer: str, place: StepPlace) -> float | None:
    """Return how long a step and the open ones before the end of ``timer`` take [s]; None when that is not known."""
    names = {place.key, *(name for name in timing.steps_before(here, timer) if name not in here.state.done)}
    total = 0.0
    for name in names:
        one = here.job.places[here.job.index[name]]
        seconds, known = seconds_of(here, one) if isinstance(one, StepPlace) else (0.0, From.NOTHING)
        if known is From.NOTHING:
            return None
        total += seconds
    return total
