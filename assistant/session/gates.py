"""Gates that are not passed, and steps that nobody has witnessed: what follows from a job as it stands."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.facts.second import SecondWhat
from assistant.procedure.model import Step
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.places import StepPlace


def is_passed(here: Here, step: Step) -> bool:
    """Return whether the gate ``step`` is passed: by its right answer, with its witness, or released."""
    state = here.state
    if step.id in state.gates_held:
        return False
    is_right = step.id not in state.deviations or step.id in state.released
    return step.id in state.skipped or (step.id in state.done and is_right and not lacks_witness(here, step))


def holds(here: Here, step: Step | None) -> bool:
    """Return whether ``step`` is a gate that is not passed."""
    return step is not None and step.gate and not is_passed(here, step)


def gates_before(here: Here, at: int | None = None) -> list[StepPlace]:
    """Return the gates that are not passed before the place with the index ``at`` (None: in all of the job), in order.

    Nothing goes to a place before which there is one, but into a branch of the gate itself, which leads back to it.
    Gates that do not belong to the job at present are no gates.
    """
    inside = () if at is None else _steps_of(here.job.places[at].within)
    return [
        place
        for number, place in here.job.once(_gates)
        if (at is None or number < at)
        and place.key not in inside
        and not is_passed(here, place.step)
        and not here.shut(place)
    ]


def goes_into_branch(here: Here, at: int) -> bool:
    """Return whether the place with the index ``at`` lies in a branch of the present step."""
    return here.place.key in _steps_of(here.job.places[at].within)


def _steps_of(branches: Iterable[str]) -> set[str]:
    """Return the ids of the steps that lead into ``branches``."""
    return {key.rpartition(":")[0] for key in branches}


def lacks_witness(here: Here, step: Step) -> bool:
    """Return whether ``step`` was done and nobody has witnessed it who should have."""
    return step.witness and step.id in here.state.done and step.id not in here.state.witnessed


def without_witness(here: Here) -> list[StepPlace]:
    """Return the steps that were done and not witnessed, in order."""
    return [place for place in here.job.once(_to_witness) if lacks_witness(here, place.step) and not here.shut(place)]


def may_go_on_without(here: Here) -> bool:
    """Return whether the work may go on without the second person who is asked for: a witness, and not at a gate."""
    second = here.state.second
    place = None if second is None else here.job.places[here.job.index[second.step]]
    is_gate = isinstance(place, StepPlace) and place.step.gate
    return second is not None and second.what is SecondWhat.WITNESS and not is_gate


def _gates(job: Job) -> list[tuple[int, StepPlace]]:
    return [
        (number, place) for number, place in enumerate(job.places) if isinstance(place, StepPlace) and place.step.gate
    ]


def _to_witness(job: Job) -> list[StepPlace]:
    return [place for place in job.places if isinstance(place, StepPlace) and place.step.witness]
