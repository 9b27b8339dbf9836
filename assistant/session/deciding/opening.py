"""The begin of a job, and taking it up again."""

from __future__ import annotations

from assistant.facts.asking import CancelledWhy
from assistant.facts.inputs import Opened, Resumed
from assistant.session.deciding import asking, hazards, moving, people, time
from assistant.session.deciding.core import Deciding


def begin_job(d: Deciding, given: Opened) -> None:
    """Begin at the first place, with those who are named to work on the job."""
    people.begin(d, given.operator)
    moving.arrive(d, 0)


def take_job_up(d: Deciding, given: Resumed) -> None:
    """Go on where the job was left; what was half said then is dropped, and the words of a note are kept.

    What came due while nobody was there happens now.
    """
    state = d.state
    if any(one is not None for one in (state.waiting, state.dictation, state.granting, state.finding)):
        asking.cancel(d, CancelledWhy.INTERRUPTED)
    moving.begin_anew(d)
    time.expire(d)
    if not people.taken_up_by(d, given.operator) and not d.state.handing_over:
        moving.take_up(d)
    hazards.read_at_return(d)
