"""New parts that were fitted."""

from __future__ import annotations

from assistant.procedure.steps.fit import FitStep
from assistant.session.here import Here


def fitted(here: Here, spare: str | None) -> int:
    """Return how many new parts of ``spare`` were fitted."""
    return sum(here.state.fitted.get(one.id, 0) for one in here.job.steps_of(FitStep) if spare and one.spare == spare)


def is_fitted(here: Here, spare: str | None) -> bool:
    """Return whether the right number of new parts of ``spare`` was fitted in some step."""
    return any(
        one.spare == spare and one.id in here.state.fitted and one.id not in here.state.deviations
        for one in here.job.steps_of(FitStep)
    )
