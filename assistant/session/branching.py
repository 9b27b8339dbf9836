"""Which branches are open, and which of their places belong to the job."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.procedure.model import Branch, When
from assistant.session.job import Job
from assistant.session.places import AnyPlace, CardPlace, OfferPlace, StepPlace, StopPlace, branch_key
from assistant.session.state import State


def is_closed_off(state: State, place: AnyPlace) -> bool:
    """Return whether ``place``, which stands in a branch, does not belong to the job at present."""
    *around, branch = place.within
    if any(one not in state.branches for one in around):
        return True
    if not isinstance(place, OfferPlace):
        return branch not in state.branches
    if place.key == state.place:
        return False
    offered = place.branch.when is When.OFFER and branch.rpartition(":")[0] in state.done
    return branch in state.extra or not offered


def branch_of(job: Job, key: str) -> Branch | None:
    """Return the branch with the key ``key``; None when the procedure has none."""
    return job.once(_branches).get(key)


def _branches(job: Job) -> dict[str, Branch]:
    steps = (place.step for place in job.places if isinstance(place, StepPlace))
    return {branch_key(step.id, branch): branch for step in steps for branch in step.branches}


def minutes_of(job: Job, place: StepPlace) -> Decimal | None:
    """Return how long a step takes [min]: its own time, or its part of that of its branch; None where neither says."""
    if place.step.minutes is not None or not place.within:
        return place.step.minutes
    branch = branch_of(job, place.within[-1])
    if branch is None or branch.minutes is None or any(one.minutes is not None for one in branch.steps):
        return None
    return branch.minutes / len(branch.steps)


def places_in(job: Job, key: str) -> Sequence[AnyPlace]:
    """Return all places of the branch with the key ``key``, those of branches inside it too."""
    return job.once(_places).get(key, ())


def _places(job: Job) -> dict[str, list[AnyPlace]]:
    found: dict[str, list[AnyPlace]] = {}
    for place in job.places:
        for key in place.within:
            found.setdefault(key, []).append(place)
    return found


def steps_in(job: Job, key: str) -> tuple[str, ...]:
    """Return the ids of the steps of a branch, and of branches inside it."""
    return tuple(place.key for place in places_in(job, key) if isinstance(place, StepPlace))


def is_begun(job: Job, state: State, key: str) -> bool:
    """Return whether anything of a branch was done or left out."""
    keys = {place.key for place in places_in(job, key)}
    bolts = {bolt[0] for bolt in (*state.bolts, *state.bolts_skipped)}
    return not keys.isdisjoint({*state.done, *state.skipped, *state.prepared, *bolts, *state.counts, *state.answers})


def is_finished(job: Job, state: State, key: str) -> bool:
    """Return whether a branch is open and everything in it that belongs to the job is answered."""
    if key not in state.branches:
        return False
    for place in places_in(job, key):
        match place:
            case OfferPlace() if not is_closed_off(state, place):
                return False
            case StepPlace() | CardPlace() if not is_closed_off(state, place) and not _is_done(state, place.key):
                return False
            case StopPlace() if not is_closed_off(state, place) and place.key not in state.past_stops:
                return False
    return True


def _is_done(state: State, key: str) -> bool:
    return key in state.done or key in state.skipped or key in state.prepared
