"""How long an open step takes, as far as anybody can know: the one estimate, for whatever asks for it.

As long as the procedure says, else as long as whoever works took for it before, else as long as others in this bay;
work on fasteners else as long as their number, the passes and the tool let expect. Of a step that is partly done, the
part that is left.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from assistant.session.branching import minutes_of
from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import StepPlace


class From(StrEnum):
    """What the length of a step is known from."""

    MINUTES = "minutes"
    """What the procedure says."""
    OWN = "own"
    """Earlier jobs of whoever works."""
    BAY = "bay"
    """Earlier jobs in this bay."""
    ESTIMATE = "estimate"
    """Reckoned from what the step is (:mod:`assistant.advice.pace`): nobody measured or wrote it."""
    NOTHING = "nothing"
    """Nobody knows: it counts as no time."""


def seconds_of(here: Here, place: StepPlace, *, history_first: bool = False) -> tuple[float, From]:
    """Return how long the rest of a step takes [s], and what that is known from.

    ``history_first``: what was measured in earlier jobs comes before what the procedure says.
    """
    whole, known = _whole(here, place, history_first=history_first)
    left: Fraction = part_of(place.step).share_left(here, place.step)
    return float(left) * whole, known


def _whole(here: Here, place: StepPlace, *, history_first: bool) -> tuple[float, From]:
    minutes, measured = minutes_of(here.job, place), _measured(here, place)
    if minutes is not None and not (history_first and measured):
        return float(minutes * 60), From.MINUTES
    if measured is not None:
        return measured
    about = part_of(place.step).about(here, place.step)
    return (0.0, From.NOTHING) if about is None else (float(about), From.ESTIMATE)


def _measured(here: Here, place: StepPlace) -> tuple[float, From] | None:
    times, key = here.state.times, place.key
    if key in times.own and times.whom == here.state.operator:
        return times.own[key], From.OWN
    return (times.bay[key], From.BAY) if key in times.bay else None
