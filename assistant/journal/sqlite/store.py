"""The journal on disk: all jobs of one bay in one SQLite file, append-only."""

from __future__ import annotations

import os
import platform
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from assistant.facts import Fact
from assistant.journal.chain import Head
from assistant.journal.leasing import new_lease
from assistant.journal.names import BAY, day_of, next_name, pick
from assistant.journal.port import Entry, JobInfo, Judged, Lease, Verdict
from assistant.journal.reading import first_of, followed, judged
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.forgetting import forget
from assistant.journal.sqlite.job import SqliteJob, linked
from assistant.journal.sqlite.lock import JobLock, is_running


class SqliteJournal:
    """All jobs of one bay, in one file."""

    def __init__(
        self,
        path: Path,
        *,
        read_only: bool = False,
        bay: str = BAY,
        host: str | None = None,
        locks: Path | None = None,
    ) -> None:
        """Open the journal at ``path``; unless ``read_only``, make it (and its folder) when it is not there.

        ``bay`` names the jobs that are opened. ``host`` is the machine that holds jobs, ``locks`` the folder of its
        locks: this machine, and the folder of the file, unless others are given.

        Raises:
            JournalFault: it cannot be opened; the sentence says why and what to do.
        """
        path = path.resolve()  # its locks lie beside the file itself, not beside a link to it
        self._db = Database(path, read_only=read_only)
        self._bay = bay
        self._host = platform.node() if host is None else host
        self._locks = path.parent if locks is None else locks
        self._held: list[SqliteJob] = []

    def create(self, facts: Sequence[Fact], now_ms: int) -> SqliteJob:
        """Open a new job with its first facts (at least one) and hold it.

        Raises:
            JournalFault: it could not be kept; there is no new job then.
        """
        if not facts:
            raise ValueError("a job is opened with at least one fact")
        mine = new_lease(self._bay, self._host, os.getpid(), now_ms)
        lock = None
        try:
            with self._db.transaction() as db:  # the name is found inside, so that two processes cannot take the same
                name = next_name(self._bay, day_of(now_ms), rows.job_names(db))
                lock = JobLock(self._db.path, name, self._locks)
                rows.add_job(db, name, self._bay)
                rows.note_lease(db, name, mine)
                new, kept = linked(name, Head(), facts, now_ms)
                rows.insert(db, name, new, kept)
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        return self._given(SqliteJob(self._db, name, lock, mine, (Head(new[-1].seq, new[-1].hash),)))

    def hold(self, name: str, now_ms: int) -> SqliteJob:
        """Hold a job that exists.

        Raises:
            UnknownJob: there is none of that name.
            JobBusy: somebody else holds it.
            Damaged: its chain is broken; it can be read, not written.
        """
        name = self.resolve(name)
        lock = JobLock(self._db.path, name, self._locks)
        try:
            job = SqliteJob(self._db, name, lock, new_lease(self._bay, self._host, os.getpid(), now_ms))
            job.check()
            job.take(now_ms)
        except BaseException:
            lock.release()
            raise
        return self._given(job)

    def _given(self, job: SqliteJob) -> SqliteJob:
        self._held.append(job)
        return job

    def lease(self, name: str) -> Lease | None:
        """Return who holds a job; None when nobody does, or when its holder on this machine is gone."""
        name = self.resolve(name)
        with self._db.explained() as db:
            there = rows.lease_of(db, name)
        if there is not None and there.host == self._host and not is_running(there.pid):
            return None
        return there

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means: itself, ``last``, its end or its beginning.

        Raises:
            UnknownJob: none does, or several do.
        """
        with self._db.explained() as db:
            return name if rows.has_job(db, name) else pick(name, rows.job_names(db))

    def read(self, name: str) -> Judged:
        """Return the entries of a job and whether they fit; the rest of the file is not looked at.

        They are checked when the file is free again: a job that is at work must not wait for that.
        """
        name = self.resolve(name)
        with self._db.snapshot() as db:
            kept = rows.kept_of(db, name, self._db.path)
        return judged(name, kept)

    def first(self, name: str) -> Entry:
        """Return the first entry of a job, without reading the others.

        Raises:
            JournalFault: there is no such job, or its first entry does not fit or cannot be read.
        """
        name = self.resolve(name)
        with self._db.explained(), self._db.snapshot() as db:
            first, said = rows.first_rows(db, name)
        return first_of(name, first, said)

    def follow(self, name: str, after: int) -> list[Entry]:
        """Return the entries of a job behind the entry number ``after`` (0: all).

        Raises:
            JournalFault: there is no such job, or what is there does not go on from entry ``after``.
        """
        name = self.resolve(name)
        with self._db.explained(), self._db.snapshot() as db:
            new, said = rows.rows_behind(db, name, after)
        return followed(name, after, new, said)

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is a fact of one of ``classes``, with the name of its job, job by job and in order.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained(), self._db.snapshot() as db:
            found = rows.entries_found(db, [one.KIND for one in classes])
        yield from found

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        with self._db.explained() as db:
            jobs = rows.bays(db)
        for name, bay in jobs:
            yield rows.info_of(self._db.link, name, bay)

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job; the first entry that does not fit, or cannot be read, is named."""
        name = self.resolve(name)
        verdict = self.read(name).verdict
        if not verdict.good:
            return verdict
        with self._db.explained() as db:
            count, most = db.execute("SELECT count(*), max(number) FROM job").fetchone()
        if count != most:
            sentence = f"Job {name} fits, but the list of jobs does not: {count} jobs are numbered up to {most}."
            return replace(verdict, good=False, sentence=sentence)
        if damage := self._db.damage():
            sentence = (
                f"All {verdict.entries} entries of job {name} fit, but the file of the journal is damaged ({damage}), "
                "and nothing is written to it any more. Move it to a safe place; a new one is made."
            )
            return replace(verdict, good=False, sentence=sentence)
        return verdict

    def forget(self, name: str, now_ms: int) -> int:
        """Remove the personal data of a closed job and return how many entries had any; 0 changes nothing."""
        job = self.hold(name, now_ms)
        try:
            return forget(self._db, job, now_ms)
        finally:
            job.close()

    def close(self) -> None:
        """Let every job go that is held by way of this journal, and free the file."""
        while self._held:
            self._held.pop().close()
        self._db.close()
