"""Which steps lack the photo that they demand, and which photos show how it was before: what follows from a job."""

from __future__ import annotations

from assistant.procedure.model import Step
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.part import part_of
from assistant.session.places import StepPlace
from assistant.session.remembered import PhotoAt

MOST_OF_A_JOB = 200
"""Of one job: one for each step of a long procedure, and as many again. Ours, not published."""


def lacks(here: Here, step: Step | None) -> bool:
    """Return whether ``step`` demands a photo and has none, and nobody gave a reason for that."""
    if step is None or not step.photo:
        return False
    return not here.state.photos.of(step.id) and step.id not in here.state.photos.left_out


def places_without_photo(here: Here) -> list[StepPlace]:
    """Return the steps that were done and lack their photo, in order."""
    return [
        place
        for place in here.job.once(_demanding)
        if place.key in here.state.done and lacks(here, place.step) and not here.shut(place)
    ]


def shown_here(here: Here) -> tuple[PhotoAt, ...]:
    """Return the photos that show at the present step how it was: of the steps that took off what it puts back.

    The fasteners that it puts in belong to that, with the steps that took them out.
    """
    step = here.step
    if step is None or not here.state.photos.taken:
        return ()
    off = {one.off for one in here.job.refits if step.id in one.back}
    groups = set() if step.takes_out else set(part_of(step).groups(here, step))
    off |= {place.key for place in here.job.places if isinstance(place, StepPlace) and place.step.takes_out in groups}
    return here.state.photos.of(*(off - {step.id}))


def _demanding(job: Job) -> list[StepPlace]:
    return [place for place in job.places if isinstance(place, StepPlace) and place.step.photo]
