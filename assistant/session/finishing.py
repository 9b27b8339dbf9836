"""When a job will be done, as far as anybody can know: the open steps one behind the other, and the waits.

How long a step takes, :mod:`assistant.session.lasting` says. A wait that runs goes on beside the steps, and one that is
still to come begins where its step ends.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.session import timing
from assistant.session.here import Here
from assistant.session.lasting import From, seconds_of
from assistant.session.open_things import open_places
from assistant.session.places import StepPlace


@dataclass(slots=True)
class Rest:
    """What is left of a job: its ``seconds`` [s], what they were reached from, and how many steps have no time.

    ``estimated`` steps have one that is reckoned from their fasteners.
    """

    seconds: int = 0
    steps: int = 0
    unknown: int = 0
    estimated: int = 0
    own: bool = False
    bay: bool = False
    minutes: bool = False
    waits: bool = False
    _ends: dict[str, float] = field(default_factory=dict)


def rest_of(here: Here) -> Rest:
    """Return what is left of the job at the present place and behind it, and what was passed and is open."""
    found, at_s = Rest(), 0.0
    keys = set(open_places(here))
    for place in here.places:
        if not isinstance(place, StepPlace) or place.key not in keys:
            continue
        step = place.step
        found.steps += 1
        if step.waits_for:
            at_s = _waited(here, found, step.waits_for, at_s)
        else:
            at_s += _worked(here, found, place)
        if step.starts_timer:
            found._ends[step.starts_timer] = at_s + here.job.timers[step.starts_timer].seconds
    found.seconds = round(at_s)
    return found


def _worked(here: Here, found: Rest, place: StepPlace) -> float:
    """Return how long a step takes [s]; 0 where nobody knows."""
    seconds, known = seconds_of(here, place)
    found.own |= known is From.OWN
    found.bay |= known is From.BAY
    found.minutes |= known is From.MINUTES
    found.unknown += known is From.NOTHING
    found.estimated += known is From.ESTIMATE
    return seconds


def _waited(here: Here, found: Rest, timer: str, at_s: float) -> float:
    """Return when a wait is over [s from now] that is come to at ``at_s``."""
    found.waits = True
    state = here.state.timers.get(timer)
    if timer in found._ends:
        return max(at_s, found._ends[timer])
    if timing.counts(state):
        return max(at_s, timing.seconds_left(here, timer))
    if state is not None and state.over:
        return at_s
    return at_s + here.job.timers[timer].seconds
