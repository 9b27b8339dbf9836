"""The journal in the central store: all jobs of one workshop, append-only, with the rules of the one on disk."""

from __future__ import annotations

import os
import platform
from collections.abc import Collection, Iterator, Sequence

from assistant.central.link import CentralLink
from assistant.central.place import CentralPlace
from assistant.facts import Fact
from assistant.journal.chain import Head, link
from assistant.journal.forgetting import refuse_unless_closed
from assistant.journal.forms import forgotten, forms
from assistant.journal.leasing import new_lease
from assistant.journal.names import day_of, next_name, pick
from assistant.journal.personal import seal
from assistant.journal.port import Entry, JobInfo, JournalFault, Judged, Lease, Verdict
from assistant.journal.postgres.job import PostgresJob, explained
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.reading import first_of, followed, judged
from assistant.journal.sqlite.lock import is_running


class PostgresJournal:
    """All jobs of the workshop that the login belongs to; row-level security shows no others."""

    def __init__(self, place: CentralPlace, *, host: str | None = None) -> None:
        """Open the journal at ``place``; ``host`` is the machine that holds jobs: this one, unless another is given.

        Raises:
            JournalFault: the store cannot be reached, or does not know the login.
        """
        with explained():
            self._rows = CentralRows(CentralLink(place))
            row = self._rows.link.one("SELECT shop.my_bay()")
        if row is None or row[0] is None:
            raise JournalFault(f"The central store does not know the login {place.told}; ask the office to add it.")
        self._bay = str(row[0])
        self._host = platform.node() if host is None else host
        self._held: list[PostgresJob] = []

    def create(self, facts: Sequence[Fact], now_ms: int) -> PostgresJob:
        """Open a new job with its first facts (at least one) and hold it."""
        if not facts:
            raise ValueError("a job is opened with at least one fact")
        mine = new_lease(self._bay, self._host, os.getpid(), now_ms)
        while True:
            with explained(), self._rows.link.transaction():
                name = next_name(self._bay, day_of(now_ms), self._rows.job_names())
                sealed, kept = seal(forms(facts, 1), 1)
                new = link(name, Head(), sealed, now_ms)
                _, why, at_seq = self._rows.receive(name, self._bay, new, kept)
                if why and why not in ("gap", "fork"):
                    raise JournalFault(f"The central store does not take the job: entry {at_seq} ({why}).")
                if not why:
                    self._rows.swap_lease(name, self._rows.lease_of(name), mine)
                    break
        job = PostgresJob(self._rows, name, self._bay, mine)
        job.entries()
        return self._given(job)

    def hold(self, name: str, now_ms: int) -> PostgresJob:
        """Hold a job that exists."""
        name = self.resolve(name)
        job = PostgresJob(self._rows, name, self._bay, new_lease(self._bay, self._host, os.getpid(), now_ms))
        job.entries()
        job.take(now_ms)
        return self._given(job)

    def _given(self, job: PostgresJob) -> PostgresJob:
        self._held.append(job)
        return job

    def lease(self, name: str) -> Lease | None:
        """Return who holds a job; None when nobody does, or when its holder on this machine is gone."""
        name = self.resolve(name)
        with explained():
            there = self._rows.lease_of(name)
        if there is not None and there.host == self._host and not is_running(there.pid):
            return None
        return there

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means."""
        with explained():
            return name if self._rows.has_job(name) else pick(name, self._rows.job_names())

    def read(self, name: str) -> Judged:
        """Return the entries of a job and whether they fit."""
        name = self.resolve(name)
        with explained():
            kept = self._rows.kept_of(name)
        return judged(name, kept)

    def first(self, name: str) -> Entry:
        """Return the first entry of a job, without reading the others."""
        name = self.resolve(name)
        with explained():
            first, said = self._rows.rows_from(name, 1, 1)
        return first_of(name, first, said)

    def follow(self, name: str, after: int) -> list[Entry]:
        """Return the entries of a job behind the entry number ``after`` (0: all)."""
        name = self.resolve(name)
        with explained():
            new, said = self._rows.rows_from(name, max(1, after))
        return followed(name, after, new, [one for one in said if one.seq > after])

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is a fact of one of ``classes``, with the name of its job, job by job and in order."""
        with explained():
            yield from self._rows.entries_found([one.KIND for one in classes])

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        with explained():
            yield from self._rows.infos()

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job."""
        return self.read(name).verdict

    def forget(self, name: str, now_ms: int) -> int:
        """Remove the personal data of a closed job and return how many entries had any; 0 changes nothing."""
        job = self.hold(name, now_ms)
        try:
            entries = job.entries()
            refuse_unless_closed(job.id, entries)
            with explained():
                count = len({one.seq for one in self._rows.kept_of(job.id).said})
            if count:
                job.append([forgotten(count)], max(now_ms, entries[-1].at_ms))
        finally:
            job.close()
        return count

    def close(self) -> None:
        """Let every job go that is held by way of this journal, and end the link."""
        while self._held:
            self._held.pop().close()
        self._rows.link.close()
