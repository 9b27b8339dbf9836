"""Forgets in this bay what was forgotten elsewhere: of a job that moved, each bay that had it has a copy."""

from __future__ import annotations

import contextlib
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.journal.copies import CentralJobs, StoredJobs
from assistant.journal.moved import MovingJobs
from assistant.pictures.store import store_of


def forget_copies(link: CentralLink, folder: Path) -> list[str]:
    """Remove from the data folder ``folder`` what people said in jobs that were forgotten, and their photos.

    The names of these jobs are returned; one whose photos cannot be removed stays unconfirmed. While somebody works in
    the bay nothing is done, for the file of the journal is written anew; the store is asked again later.

    Raises:
        CentralFault: the store cannot be reached.
        JournalFault: the journal cannot be read or written.
    """
    central = CentralJobs(link)
    jobs = central.to_forget()
    if not jobs or _is_at_work(folder):
        return []
    gone = []
    with contextlib.closing(MovingJobs(folder)) as mover:
        for job in jobs:
            opened_in, piece = central.rest(job, mover.end(job).seq)
            if mover.end(job).seq:
                mover.forgets(job, opened_in, piece)
            with contextlib.suppress(OSError):
                store_of(job, folder).forget()
                central.forgotten(job)
                gone.append(job)
    return gone


def _is_at_work(folder: Path) -> bool:
    with contextlib.closing(StoredJobs(folder)) as stored:
        return any(lease.bay for lease in stored.open_jobs(stored.heads()).values())
