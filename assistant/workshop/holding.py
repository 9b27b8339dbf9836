"""Says to the central store which open jobs a bay has, and finds those that it is to let go: none is in two bays.

Between the word of the store that a job is this bay's and its entries in the journal here, the job is being brought: it
is in nobody's journal as open, and must not be let go. So a job goes only by the lease that was seen before, and only
when it is closed here, was asked for, is nobody's, or has not been spoken of for longer than bringing takes, or by a
process that is no more.
"""

from __future__ import annotations

import contextlib
import platform
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from assistant.journal.chain import Head
from assistant.journal.copies import NOBODYS_TOKEN, CentralJobs, StoredJobs
from assistant.journal.leasing import moved
from assistant.journal.moved import MovingJobs

BRINGS_MS = 60_000
"""So long [ms] a job may be this bay's in the store and not in its journal, while it is brought here."""


@dataclass(frozen=True, slots=True)
class HeldJobs:
    """The jobs that the bay with the data folder ``folder`` has; ``tell`` gets a sentence for each that left."""

    folder: Path
    tell: Callable[[str], object]

    def keep(
        self, central: CentralJobs, jobs: StoredJobs, heads: Mapping[str, tuple[str, Head]], bay: str
    ) -> list[tuple[str, str]]:
        """Say which open jobs ``bay`` has; one that nobody works on here leaves for the bay that asks for it.

        Returns:
            The jobs to let go as soon as the store has all of them, each with the token of the lease that was seen.

        Raises:
            CentralFault: the store cannot be reached.
            JournalFault: the journal, which ``jobs`` reads and whose ends are ``heads``, cannot be read or written.
        """
        mine = central.mine(platform.node())  # first: a job that comes meanwhile is not in it
        has = jobs.open_jobs(heads)
        go = [
            (job, token)
            for job, (token, age_ms) in sorted(mine.items())
            if job not in has and (jobs.is_closed(job) or token == NOBODYS_TOKEN or age_ms > BRINGS_MS)
        ]
        for job, holder, host, wanted_by in central.hold(has, platform.node()):
            if holder != bay:
                self._left(job, holder, host)
            elif wanted_by and self._left(job, wanted_by, "", only_idle=True):
                go.append((job, has[job].token or NOBODYS_TOKEN))
        return go

    def _left(self, job: str, bay: str, host: str, *, only_idle: bool = False) -> bool:
        """Note that ``job`` is gone from here, first of all; return whether it is."""
        with contextlib.closing(MovingJobs(self.folder)) as mover:
            left = mover.leaves(job, bay, host, only_idle=only_idle)
        if left:
            self.tell(moved(job, bay).sentence)
        return left
