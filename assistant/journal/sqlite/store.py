"""The journal on disk: one SQLite file, append-only; every answer is one transaction, on disk before it is spoken."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from assistant.events import Record
from assistant.journal.canonical import canonical
from assistant.journal.chain import Head, as_entry, link
from assistant.journal.faults import BROKEN_FILE, explain
from assistant.journal.lock import JobLock
from assistant.journal.opening import damage_of, has, open_to_read, open_to_write
from assistant.journal.personal import GONE, SEALED, Kept, seal, unsealed
from assistant.journal.port import (
    Damaged,
    Entry,
    JobBusy,
    JobInfo,
    JournalFault,
    Stored,
    Verdict,
    broken,
    check_chain,
    day_of,
    next_name,
    pick,
)
from assistant.journal.reading import KeptJob, judged
from assistant.journal.summary import STATES, summarise, unreadable

_ALL = "SELECT seq, at_ms, kind, data, prev, hash FROM entry WHERE job = ? ORDER BY seq"
_FIRST = f"{_ALL} LIMIT 1"
_LAST = f"{_ALL} DESC LIMIT 1"
_SAID = "SELECT seq, key, salt, value FROM personal WHERE job = ? ORDER BY seq, key"
_SAID_FIRST = "SELECT seq, key, salt, value FROM personal WHERE job = ? AND seq = 1 ORDER BY key"
_SAY = "INSERT INTO personal (job, seq, key, salt, value) VALUES (?, ?, ?, ?, ?)"
_TURN = "SELECT kind FROM entry WHERE job = ? AND kind IN (SELECT value FROM json_each(?)) ORDER BY seq DESC LIMIT 1"
_FOUND = (
    "SELECT job, seq, at_ms, kind, data, prev, hash FROM entry"
    " WHERE kind IN (SELECT value FROM json_each(?)) ORDER BY job, seq"
)
_FOUND_SAID = (
    "SELECT job, seq, key, value FROM personal NATURAL JOIN (SELECT job, seq FROM entry"
    " WHERE kind IN (SELECT value FROM json_each(?)))"
)
_MOVE_ON = "UPDATE head SET seq = :seq, hash = :hash WHERE job = :job"
_FIRST_END = "INSERT INTO head (job, seq, hash) VALUES (:job, :seq, :hash)"
_ADD = "INSERT INTO entry (job, seq, at_ms, kind, data, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)"


class SqliteJournal:
    """All jobs of one bay, in one file."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        """Open the journal at ``path``; unless ``read_only``, make it (and its folder) when it is not there.

        Raises:
            JournalFault: it cannot be opened; the sentence says why and what to do.
        """
        self._path = path.resolve()  # its lock lies beside the file itself, not beside a link to it
        self._damage = ""
        if read_only:
            self._db, self._damage = open_to_read(self._path)
        else:
            self._db = open_to_write(self._path)
        self._file = self._stamp()

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
                new, kept = _linked(name, Head(), records, now_ms)
                self._insert(name, new, kept)
        except BaseException:
            if lock is not None:
                lock.release()
            raise
        return SqliteJob(self, name, lock, (Head(new[-1].seq, new[-1].hash),))

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

    def first(self, name: str) -> Entry:
        """Return the first entry of a job, without reading the others.

        Raises:
            JournalFault: there is no such job, or its first entry does not fit or cannot be read.
        """
        name = self.resolve(name)
        with self._explained(), self._snapshot():
            good, verdict = check_chain(name, [Stored(*row) for row in self._db.execute(_FIRST, (name,))])
            said = self._db.execute(_SAID_FIRST, (name,)).fetchall() if has(self._db, "personal") else []
        entries, wrong = unsealed(good, [Kept(*row) for row in said], missing=GONE)
        if not entries:
            raise Damaged(broken(name, entries, wrong).sentence if wrong else verdict.sentence)
        return entries[0]

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""
        with self._explained():
            names = self._names()
        return [self._info(name) for name in names]

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job; the first entry that does not fit, or cannot be read, is named."""
        verdict = self._read_checked(self.resolve(name))[1]
        with self._explained():
            count, most = self._db.execute("SELECT count(*), max(number) FROM job").fetchone()
        if verdict.good and count != most:
            sentence = f"Job {name} fits, but the list of jobs does not: {count} jobs are numbered up to {most}."
            return replace(verdict, good=False, sentence=sentence)
        damage = self._damage or damage_of(self._db)
        if verdict.good and damage:
            sentence = (
                f"All {verdict.entries} entries of job {name} fit, but the file of the journal is damaged ({damage}), "
                "and nothing is written to it any more. Move it to a safe place; a new one is made."
            )
            return replace(verdict, good=False, sentence=sentence)
        return verdict

    def found(self, kinds: Sequence[str]) -> Iterator[tuple[str, int, dict[str, Any]]]:
        """Yield job, time [ms since the epoch] and values of every entry of ``kinds`` in all jobs.

        Their chains are not checked; values that cannot be read are passed over.

        Raises:
            JournalFault: the file cannot be read.
        """
        for job, entry in self.scan(kinds):
            yield job, entry.at_ms, dict(entry.data)

    def scan(self, kinds: Sequence[str]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry of ``kinds`` with its job, job by job and in order; see :meth:`found`."""
        asked = (canonical(list(kinds)),)
        with self._explained(), self._snapshot():
            rows = self._db.execute(_FOUND, asked).fetchall()
            said = self._db.execute(_FOUND_SAID, asked).fetchall() if has(self._db, "personal") else []
        values = {(job, seq, key): value for job, seq, key, value in said}
        for job, seq, at_ms, kind, text, prev, own in rows:
            with contextlib.suppress(ValueError, TypeError):
                data = json.loads(text)
                if isinstance(data, dict):
                    for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
                        data[key] = json.loads(values.get((job, seq, key), f'"{GONE}"'))
                    yield job, Entry(seq, at_ms, kind, data, prev, own)

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

    def read(self, name: str) -> tuple[list[Entry], Verdict]:
        """Return the entries of a job, read only, and whether they fit; the rest of the file is not looked at."""
        return self._read_checked(self.resolve(name))

    def _read_checked(self, name: str) -> tuple[list[Entry], Verdict]:
        """Return the good entries of the job ``name`` from its first on, and what was found at their end.

        They are checked when the file is free again: a job that is at work must not wait for that.
        """
        with self._snapshot():
            kept = self._kept(name)
        return judged(name, kept)

    def _kept(self, name: str) -> KeptJob:
        """Read all that the file has of a job, as far as it can be read."""
        found = KeptJob()
        try:
            found.rows.extend(Stored(*row) for row in self._db.execute(_ALL, (name,)))
        except BROKEN_FILE as fault:
            if getattr(fault, "sqlite_errorcode", 0) & 0xFF not in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_IOERR, 0):
                raise explain(fault, self._path) from fault
            found.fault = fault
        try:
            if has(self._db, "personal"):
                found.said.extend(Kept(*row) for row in self._db.execute(_SAID, (name,)))
        except BROKEN_FILE as fault:
            found.said_fault = fault
        try:
            found.is_noted = has(self._db, "head")
            if found.is_noted:
                found.end = self._db.execute("SELECT seq, hash FROM head WHERE job = ?", (name,)).fetchone()
        except BROKEN_FILE as fault:
            found.is_noted, found.end_fault = True, fault
        return found

    def _head(self, name: str) -> Head:
        row = self._db.execute(
            "SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (name,)
        ).fetchone()
        return Head(*row)

    @contextlib.contextmanager
    def _explained(self) -> Iterator[None]:
        try:
            yield
        except BROKEN_FILE as fault:
            raise explain(fault, self._path) from fault

    @contextlib.contextmanager
    def _snapshot(self) -> Iterator[None]:
        """See the file as it is at one moment, while another process may write."""
        if self._db.in_transaction:
            yield
            return
        with contextlib.suppress(*BROKEN_FILE):  # a damaged file may refuse; it is read as far as it goes
            self._db.execute("BEGIN")
        try:
            yield
        finally:
            with contextlib.suppress(sqlite3.Error):
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")

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

    def _insert(self, name: str, stored: Sequence[Stored], kept: Sequence[Kept]) -> None:
        self._db.executemany(_ADD, [(name, s.seq, s.at_ms, s.kind, s.data, s.prev, s.hash) for s in stored])
        self._db.executemany(_SAY, [(name, one.seq, one.key, one.salt, one.value) for one in kept])
        end = stored[-1]
        note = _MOVE_ON if stored[0].seq > 1 else _FIRST_END
        self._db.execute(note, {"job": name, "seq": end.seq, "hash": end.hash})

    def _stamp(self) -> tuple[int, int] | None:
        """Return what tells the file at our path from another one; None when there is none."""
        try:
            about = self._path.stat()
        except OSError:
            return None
        return about.st_dev, about.st_ino

    def _check_place(self) -> None:
        """Raise when what is written would go into a file that nobody finds again."""
        if self._stamp() != self._file:
            raise JournalFault(
                f"The journal {self._path} was moved, removed or replaced while the program runs; nothing more is "
                "written. Put it back where it was, or end the program."
            )


def _linked(name: str, head: Head, records: Sequence[Record], now_ms: int) -> tuple[list[Stored], list[Kept]]:
    """Return ``records`` as entries behind ``head``, and what people said in them, which is kept beside the chain."""
    sealed, kept = seal(records, head.seq + 1)
    return link(name, head, sealed, now_ms), kept


class SqliteJob:
    """One job on disk, held for writing by this process alone."""

    def __init__(self, journal: SqliteJournal, name: str, lock: JobLock, ends: tuple[Head, ...] = ()) -> None:
        self.id = name
        self._journal = journal
        self._lock = lock
        self._checked: list[Entry] | None = None
        self._ends = ends
        """Where the job may end on disk: as it was last seen, and as an append left it that did not return."""

    def check(self) -> None:
        """Read and check all entries; the next :meth:`entries` gives them without doing so again.

        Raises:
            JournalFault: they do not fit, or cannot all be read.
        """
        entries, verdict = self._journal._read_checked(self.id)
        if not verdict.good:
            raise Damaged(verdict.sentence)
        self._checked = entries
        self._ends = (Head(verdict.entries, verdict.head),)

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one transaction; when this returns they are on disk.

        Raises:
            JournalFault: they could not be kept; none of them was, and this can be tried again.
            JobBusy: another process holds the job by now, or wrote into it since it was last read here.
        """
        if not records:
            return []
        self._checked = None
        self._lock.keep()
        self._journal._check_place()
        with self._journal._transaction():
            # The end of the chain is read from disk each time: it is right even after a fault or an interruption.
            head = self._journal._head(self.id)
            if head not in self._ends:
                raise JobBusy(
                    f"Another process wrote into job {self.id} since it was read here, so the last thing was not kept. "
                    "End that process, then say it again."
                )
            new, kept = _linked(self.id, head, records, now_ms)
            self._journal._insert(self.id, new, kept)
            self._ends = (head, Head(new[-1].seq, new[-1].hash))
        self._ends = self._ends[1:]
        return unsealed([as_entry(stored) for stored in new], kept)[0]

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
