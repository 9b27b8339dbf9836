"""The journal on disk: one SQLite file, append-only; every answer is on disk, in one transaction, before it is spoken.

``synchronous=FULL`` with a rollback journal: when COMMIT returns, SQLite has called fsync on the file, so a pulled plug
loses nothing that was answered. (A write-ahead log would need a shared-memory file and keep the newest entries in a
second file.)
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from datetime import datetime
from importlib import resources
from pathlib import Path

from assistant.events import Record
from assistant.journal.chain import link
from assistant.journal.faults import explain
from assistant.journal.lock import JobLock
from assistant.journal.port import (
    Damaged,
    Entry,
    JobInfo,
    JournalFault,
    Verdict,
    canonical,
    check_chain,
    next_name,
    pick,
)
from assistant.journal.summary import summarise

SCHEMA_VERSION = 1
_APPLICATION_ID = 0x57524E43
_ENTRIES = "SELECT seq, at_ms, kind, data, prev, hash FROM entry WHERE job = ? ORDER BY seq"


class SqliteJournal:
    """All jobs of one bay, in one file."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        """Open the journal at ``path``; unless ``read_only``, make it (and its folder) when it is not there.

        Raises:
            JournalFault: it cannot be opened; the sentence says why and what to do.
        """
        self._path = path
        self._read_only = read_only
        try:
            if not read_only:
                path.parent.mkdir(parents=True, exist_ok=True)
            elif not path.is_file():
                raise JournalFault(f"There is no journal at {path}; start a job with: assistant run PROCEDURE")
            self._db = self._connect()
            self._check_version()
        except (OSError, sqlite3.Error) as fault:
            raise explain(fault, path) from fault

    def _connect(self) -> sqlite3.Connection:
        mode = "ro" if self._read_only else "rwc"
        uri = f"{self._path.absolute().as_uri()}?mode={mode}"
        db = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False, timeout=5.0)
        db.execute("PRAGMA foreign_keys = ON")
        if not self._read_only:
            db.execute("PRAGMA journal_mode = DELETE")
            db.execute("PRAGMA synchronous = FULL")
        return db

    def _check_version(self) -> None:
        application = self._db.execute("PRAGMA application_id").fetchone()[0]
        version = self._db.execute("PRAGMA user_version").fetchone()[0]
        if application == _APPLICATION_ID and version == SCHEMA_VERSION:
            return
        if application == _APPLICATION_ID and version > SCHEMA_VERSION:
            raise JournalFault(
                f"The journal {self._path} was written by a newer version of the assistant (format {version}; this one "
                f"knows {SCHEMA_VERSION}); nothing was changed. Update the assistant and start again."
            )
        if self._read_only or self._db.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            raise JournalFault(f"{self._path} is not a journal of the assistant; name another file or folder.")
        script = resources.files("assistant.journal").joinpath("schema.sql").read_text("utf-8")
        self._db.executescript(
            f"BEGIN IMMEDIATE; {script}; PRAGMA application_id = {_APPLICATION_ID};"
            f"PRAGMA user_version = {SCHEMA_VERSION}; COMMIT;"
        )

    def create(self, records: Sequence[Record], now_ms: int) -> SqliteJob:
        """Open a new job with its first records and hold it.

        The job is named after the local day and a running number.

        Raises:
            JournalFault: it could not be kept; there is no new job then.
        """
        day = datetime.fromtimestamp(now_ms / 1000).astimezone().date().isoformat()
        name = next_name(day, self._names())
        lock = JobLock(self._path, name)
        try:
            with self._transaction():
                self._db.execute("INSERT INTO job (name) VALUES (?)", (name,))
                last = self._insert(name, link(name, None, records, now_ms))
        except BaseException:
            lock.release()
            raise
        return SqliteJob(self, name, last, lock)

    def open_job(self, name: str) -> SqliteJob:
        """Hold a job that exists.

        Raises:
            UnknownJob: there is none of that name.
            JobBusy: another process holds it.
            Damaged: its chain is broken; it can be read, not written.
        """
        name = pick(name, self._names())
        lock = JobLock(self._path, name)
        try:
            verdict = self.verify(name)
            if not verdict.good:
                raise Damaged(verdict.sentence)
            entries = self._read(name)
        except BaseException:
            lock.release()
            raise
        return SqliteJob(self, name, entries[-1], lock)

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only; of a damaged file, those before the damage."""
        return self._read(pick(name, self._names()))

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""
        return [summarise(name, self._read(name)) for name in self._names()]

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job, and the pages of the file that it lies in."""
        name = pick(name, self._names())
        entries: list[Entry] = []
        try:
            entries.extend(self._rows(name))
        except (sqlite3.Error, ValueError) as fault:
            good = check_chain(name, entries)
            sentence = (
                f"The journal {self._path} is damaged after entry {good.entries} of job {name} ({fault}). "
                f"Read the good part with: assistant show {name}"
            )
            return Verdict(False, good.entries, good.head, sentence)
        return check_chain(name, entries)

    def close(self) -> None:
        """Free the file."""
        self._db.close()

    def _names(self) -> list[str]:
        try:
            rows = self._db.execute("SELECT name FROM job ORDER BY rowid DESC").fetchall()
        except sqlite3.Error as fault:
            raise explain(fault, self._path) from fault
        return [name for (name,) in rows]

    def _rows(self, name: str) -> Iterator[Entry]:
        for seq, at_ms, kind, data, prev, own in self._db.execute(_ENTRIES, (name,)):
            yield Entry(seq, at_ms, kind, json.loads(data), prev, own)

    def _read(self, name: str) -> list[Entry]:
        entries: list[Entry] = []
        with contextlib.suppress(sqlite3.DatabaseError, ValueError):  # verify() names the damage
            entries.extend(self._rows(name))
        return entries

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[None]:
        try:
            self._db.execute("BEGIN IMMEDIATE")
            yield
            self._db.execute("COMMIT")
        except sqlite3.Error as fault:
            self._roll_back()
            raise explain(fault, self._path) from fault
        except BaseException:
            self._roll_back()
            raise

    def _roll_back(self) -> None:
        with contextlib.suppress(sqlite3.Error):
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")

    def _insert(self, name: str, entries: Sequence[Entry]) -> Entry:
        self._db.executemany(
            "INSERT INTO entry (job, seq, at_ms, kind, data, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)",
            [(name, e.seq, e.at_ms, e.kind, canonical(e.data), e.prev, e.hash) for e in entries],
        )
        return entries[-1]


class SqliteJob:
    """One job on disk, held for writing by this process alone."""

    def __init__(self, journal: SqliteJournal, name: str, last: Entry, lock: JobLock) -> None:
        self.id = name
        self._journal = journal
        self._last = last
        self._lock = lock

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one transaction; when this returns they are on disk.

        Raises:
            JournalFault: they could not be kept; none of them was, and this can be tried again.
        """
        new = link(self.id, self._last, records, now_ms)
        if new:
            with self._journal._transaction():
                self._journal._insert(self.id, new)
            self._last = new[-1]
        return new

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""
        return self._journal.entries(self.id)

    def close(self) -> None:
        """Let the job go; another process may take it."""
        self._lock.release()
