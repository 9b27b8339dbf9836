"""Brings a job from the bay that has it to this one: by its agreement, or by name when that bay is gone.

A bay holds what it works on by a lease in the central store, on the store's clock. Who wants a job asks for it; the bay
that has it lets it go when the job is paused there, and notes that before it tells the store, so that the job is never
in two bays. A bay that was not heard of for longer than a lease may work without a network: only a person can know, and
says so by its name.
"""

from __future__ import annotations

import contextlib
import os
import platform
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, CentralPlace
from assistant.journal.copies import CentralJobs
from assistant.journal.leasing import new_lease
from assistant.journal.moved import MovingJobs
from assistant.journal.names import pick
from assistant.journal.port import JobState, Lease, UnknownJob
from assistant.journal.summary import STATES
from assistant.workshop.photo_facts import bring_photos

ASKS_S, ASKS_EVERY_S = 8.0, 0.25
"""So long [s] the bay that has the job is waited for, and so often it is looked."""
GIVES_S = 2.0
"""So long [s] this bay itself may take to let a job go that is asked for."""


def bring_here(
    place: CentralPlace,
    folder: Path,
    name: str,
    bay: str,
    from_bay: str = "",
    pause: Callable[[float], object] | None = None,
) -> str:
    """Bring the job that ``name`` means to the bay ``bay`` with the data folder ``folder``, and return its whole name.

    ``from_bay`` names the bay that is gone. ``pause`` waits for so many seconds.

    Raises:
        CentralFault: the store cannot be reached; another bay has the job; or there is none of that name.
        JournalFault: it cannot be kept here, or what is here is another history of it.
        UnknownJob: no job fits the name, or several do.
    """
    waits = threading.Event().wait if pause is None else pause
    lease = new_lease(bay, platform.node(), os.getpid(), 0)
    with (
        contextlib.closing(CentralLink(place, program="step-assistant move")) as link,
        contextlib.closing(MovingJobs(folder)) as here,
    ):
        central = CentralJobs(link)
        job = pick(name, central.names())
        _refuse_closed(link, job)
        if here.is_away(job):
            _let_it_go(central, job, waits)
        _ask_for(central, job, from_bay, lease, waits)
        opened_in, piece = central.fetch(job, here.end(job).seq)
        here.comes(job, opened_in, piece)
        bring_photos(link, folder, job)
        _make_sure(central, here, job, lease)
    return job


def _refuse_closed(link: CentralLink, job: str) -> None:
    """Leave a closed job where it is: nobody holds it any more, so two bays could correct it at once."""
    row = link.one("SELECT turn FROM shop.job WHERE name = %s", (job,))
    if row is not None and STATES.get(row[0]) is JobState.CLOSED:
        raise CentralFault(
            f"Job {job} is closed, so it is not brought here. Its record is in the office, and where it was closed."
        )


def _let_it_go(central: CentralJobs, job: str, pause: Callable[[float], object]) -> None:
    """Wait for this bay's own sender where it is just giving the job to who asked: else nobody gets it from here."""
    waited = 0.0
    while job in central.mine(platform.node()) and waited < GIVES_S:
        pause(ASKS_EVERY_S)
        waited += ASKS_EVERY_S


def _make_sure(central: CentralJobs, here: MovingJobs, job: str, lease: Lease) -> None:
    """Look behind it whether the job is still this bay's: bringing may take longer than another one waits for it."""
    how, holder, _ = central.want(job, "", lease)
    if how != "yours":
        here.leaves(job, holder, "")
        raise CentralFault(
            f"Job {job} went to the bay {holder} while it was brought here. Pause it there, then try again."
        )
    opened_in, piece = central.rest(job, here.end(job).seq)
    if piece.rows:
        here.comes(job, opened_in, piece)


def bring_if_away(place: CentralPlace, folder: Path, name: str, bay: str, from_bay: str = "") -> str:
    """Do so unless the job is here, and return the whole name; nothing is asked of the store when it is.

    Raises:
        CentralFault, JournalFault: as :func:`bring_here`.
    """
    with contextlib.closing(MovingJobs(folder)) as here:
        names = here.names()
        local = name if name in names else None
        if local is None and names:
            with contextlib.suppress(UnknownJob):
                local = pick(name, names)
        if local is not None and not here.is_away(local):
            return local
    return bring_here(place, folder, local or name, bay, from_bay)


def _ask_for(central: CentralJobs, job: str, from_bay: str, lease: Lease, pause: Callable[[float], object]) -> None:
    how, holder, until_ms = central.want(job, from_bay, lease)
    waited = 0.0
    while how == "asked" and waited < ASKS_S:
        pause(ASKS_EVERY_S)
        waited += ASKS_EVERY_S
        how, holder, until_ms = central.want(job, from_bay, lease)
    if how == "asked":
        raise CentralFault(f"Job {job} is at work in the bay {holder}. Pause it there, then go on with it here.")
    if how == "silent":
        since = datetime.fromtimestamp(until_ms / 1000).astimezone().strftime("%Y-%m-%d %H:%M")
        raise CentralFault(
            f"The bay {holder} has job {job}, and was not heard of since {since}; it may be at work without a network. "
            f"If it is gone, say so by its name: assistant resume {job} --from {holder}. What it wrote down and did "
            "not send would be set aside then."
        )
    if how == "unknown":
        raise CentralFault(f"The central store has no job {job}.")
