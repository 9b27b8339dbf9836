"""Takes back from the central store what a bay lost: its journal was put back from a backup, or its computer is new."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from pathlib import Path

from assistant.journal.chain import Head
from assistant.journal.copies import CentralJobs, StoredJobs
from assistant.journal.moved import MovingJobs
from assistant.journal.port import Damaged


def take_back_lost(folder: Path, jobs: StoredJobs, central: CentralJobs, heads: Mapping[str, tuple[str, Head]]) -> int:
    """Take into the journal in ``folder`` what the store has of this bay, and ``heads``, the ends there, have not.

    ``jobs`` reads the same journal. What somebody works on stays as it is.

    Returns:
        How many entries came back.

    Raises:
        CentralFault: the store cannot be reached.
        JournalFault: the journal cannot be read or written.
    """
    lost = [job for job, seq in central.of_this_bay() if seq > heads.get(job, ("", Head()))[1].seq]
    if not lost:
        return 0
    at_work = {job for job, lease in jobs.open_jobs(heads).items() if lease.bay}
    with contextlib.closing(MovingJobs(folder)) as mover:
        return sum(_taken(mover, central, job) for job in lost if job not in at_work)


def _taken(mover: MovingJobs, central: CentralJobs, job: str) -> int:
    opened_in, piece = central.fetch(job, mover.end(job).seq)
    try:
        mover.comes(job, opened_in, piece)
    except Damaged:
        return 0  # another history of it is here: the store says so when that is sent
    return len(piece.rows)
