"""The journal on disk: one SQLite file, append-only; every answer is one transaction, on disk before it is spoken."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from assistant.events import Record
from assistant.journal.canonical import canonical
from assistant.journal.chain import Head, as_entry, link
from assistant.journal.faults import explain
from assistant.journal.lock import JobLock
from assistant.journal.opening import open_to_read, open_to_write
from assistant.journal.port import (
    Damaged,
    Entry,
    JobInfo,
    Stored,
    Verdict,
    broken,
    check_chain,
    day_of,
    next_name,
    pick,
)
from assistant.journal.summary import STATES, summarise, unreadable

_ALL = "SELECT seq, at_ms, kind, data, prev, hash FROM entry WHERE job = ? ORDER BY seq"
_FIRST = f"{_ALL} LIMIT 1"
_LAST = f"{_ALL} DESC LIMIT 1"
_TURN = "SELECT kind FROM entry WHERE job = ? AND kind IN (SELECT value FROM json_each(?)) ORDER BY seq DESC LIMIT 1"
_FOUND = "SELECT job, at_ms, data FROM entry WHERE kind IN (SELECT value FROM json_each(?)) ORDER BY job, seq"
_ADD = "INSERT INTO entry (job, seq, at_ms, kind, data, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)"


class SqliteJournal:
    """All jobs of one bay, in one file."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        """Open the journal at ``path``; unless ``read_only``, make it (and its folder) when it is not there.

        Raises:
            JournalFault: it cannot be opened; the sentence says why and what to do.
        """
        self._path = path
        self._db = open_to_read(path) if read_only else open_to_write(path)

    def create(self, records: Sequence[Record], now_ms: int) -> SqliteJob:
        """Open a new job with its first records (at least one) and hold it.

        The job is named after the local day and a running number.

        Raises:
            JournalFault: it could not be kept; there is no new job then.
        """
        if not records:
            raise ValueError("a job is opened with at least one record")
        lock = None
        try:
            with self._transaction():  # the name is found inside, so that two processes cannot take the same
                names = self._names()
                name = next_name(day_of(now_ms), names)
                lock = JobLock(self._path, name)
                self._db.execute("INSERT INTO job (name, number) VALUES (?, ?)", (name, len(names) + 1))
                self._insert(name, link(name, Head(), records, now_ms))
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        return SqliteJob(self, name, lock)

    def open_job(self, name: str) -> SqliteJob:
        """Hold a job that exists.

        Raises:
            UnknownJob: there is none of that name.
            JobBusy: another process holds it.
            Damaged: its chain is broken; it can be read, not written.
        """
        name = self.resolve(name)
        lock = JobLock(self._path, name)
        job = SqliteJob(self, name, lock)
        try:
            job.check()
        except BaseException:
            lock.release()
            raise
        return job

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means: itself, ``last``, its end or its beginning.

        Raises:
            UnknownJob: none does, or several do.
        """
        with self._explained():
            return pick(name, self._names())

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only; of a damaged one, those before the damage."""
        return self._read_checked(self.resolve(name))[0]

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""
        with self._explained():
            names = self._names()
        return [self._info(name) for name in names]

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job; the first entry that does not fit, or cannot be read, is named."""
        return self._read_checked(self.resolve(name))[1]

    def found(self, kinds: Sequence[str]) -> Iterator[tuple[str, int, dict[str, Any]]]:
        """Yield job, time [ms since the epoch] and values of every entry of ``kinds`` in all jobs.

        Their chains are not checked; values that cannot be read are passed over.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._explained():
            rows = self._db.execute(_FOUND, (canonical(list(kinds)),)).fetchall()
        for job, at_ms, text in rows:
            with contextlib.suppress(ValueError, TypeError):
                data = json.loads(text)
                if isinstance(data, dict):
                    yield job, at_ms, data

    def close(self) -> None:
        """Free the file."""
        self._db.close()

    def _names(self) -> list[str]:
        return [name for (name,) in self._db.execute("SELECT name FROM job ORDER BY number DESC")]

    def _info(self, name: str) -> JobInfo:
        try:
            first, last = (Stored(*self._db.execute(question, (name,)).fetchone()) for question in (_FIRST, _LAST))
            turn = self._db.execute(_TURN, (name, canonical(list(STATES)))).fetchone() or ("",)
            return summarise(name, first, last, turn[0])
        except (sqlite3.DatabaseError, TypeError, ValueError, AttributeError):  # the line says so; verify() says where
            return unreadable(name)

    def _read_checked(self, name: str) -> tuple[list[Entry], Verdict]:
        """Return the good entries of the job ``name`` from its first on, and what was found at their end."""
        rows: list[Stored] = []
        try:
            rows.extend(Stored(*row) for row in self._db.execute(_ALL, (name,)))
        except sqlite3.Error as fault:
            if getattr(fault, "sqlite_errorcode", 0) & 0xFF not in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_IOERR, 0):
                raise explain(fault, self._path) from fault
            good, verdict = check_chain(name, rows)
            return good, broken(name, good, f"cannot be read ({fault})") if verdict.good or not rows else verdict
        return check_chain(name, rows)

    def _head(self, name: str) -> Head:
        row = self._db.execute(
            "SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (name,)
        ).fetchone()
        return Head(*row)

    @contextlib.contextmanager
    def _explained(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as fault:
            raise explain(fault, self._path) from fault

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[None]:
        try:
            with self._explained():
                self._db.execute("BEGIN IMMEDIATE")
                yield
                self._db.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(sqlite3.Error):
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
            raise

    def _insert(self, name: str, stored: Sequence[Stored]) -> None:
        self._db.executemany(_ADD, [(name, s.seq, s.at_ms, s.kind, s.data, s.prev, s.hash) for s in stored])


class SqliteJob:
    """One job on disk, held for writing by this process alone."""

    def __init__(self, journal: SqliteJournal, name: str, lock: JobLock) -> None:
        self.id = name
        self._journal = journal
        self._lock = lock
        self._checked: list[Entry] | None = None

    def check(self) -> None:
        """Read and check all entries; the next :meth:`entries` gives them without doing so again.

        Raises:
            JournalFault: they do not fit, or cannot all be read.
        """
        entries, verdict = self._journal._read_checked(self.id)
        if not verdict.good:
            raise Damaged(verdict.sentence)
        self._checked = entries

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one transaction; when this returns they are on disk.

        Raises:
            JournalFault: they could not be kept; none of them was, and this can be tried again.
        """
        if not records:
            return []
        self._checked = None
        with self._journal._transaction():
            # The end of the chain is read from disk each time: it is right even after a fault or an interruption.
            new = link(self.id, self._journal._head(self.id), records, now_ms)
            self._journal._insert(self.id, new)
        return [as_entry(stored) for stored in new]

    def entries(self) -> list[Entry]:
        """Return all entries, in order.

        Raises:
            JournalFault: they cannot all be read; a state built from fewer would be behind what was confirmed.
        """
        if self._checked is None:
            self.check()
        entries, self._checked = self._checked or [], None
        return entries

    def close(self) -> None:
        """Let the job go; another process may take it."""
        self._lock.release()
