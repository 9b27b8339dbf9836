"""The rows of the journal's tables, as values and back: every statement that a job at work needs is here."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import astuple
from pathlib import Path
from typing import Any

from assistant.journal.canonical import canonical
from assistant.journal.chain import Head, Stored, as_entry
from assistant.journal.personal import GONE, SEALED, Kept
from assistant.journal.port import Entry, JobInfo, Lease
from assistant.journal.reading import KeptJob
from assistant.journal.sqlite.faults import BROKEN_FILE, explain
from assistant.journal.summary import STATES, summarise, unreadable

_FROM = "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry WHERE job = ? AND seq >= ? ORDER BY seq"
_FIRST = "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry WHERE job = ? ORDER BY seq LIMIT 1"
_LAST = "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1"
_TURN = "SELECT kind FROM entry WHERE job = ? AND kind IN (SELECT value FROM json_each(?)) ORDER BY seq DESC LIMIT 1"
_FOUND = (
    "SELECT job, seq, at_ms, kind, version, cause, data, prev, hash FROM entry"
    " WHERE kind IN (SELECT value FROM json_each(?)) ORDER BY job, seq"
)
_FOUND_SAID = (
    "SELECT job, seq, key, value FROM personal NATURAL JOIN (SELECT job, seq FROM entry"
    " WHERE kind IN (SELECT value FROM json_each(?)))"
)
_OF_KINDS = (
    "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry"
    " WHERE job = ? AND seq > ? AND kind IN (SELECT value FROM json_each(?)) ORDER BY seq"
)
_SAID = "SELECT seq, key, salt, value FROM personal WHERE job = ? AND seq > ? ORDER BY seq, key"
_SAID_FIRST = "SELECT seq, key, salt, value FROM personal WHERE job = ? AND seq = 1 ORDER BY key"
_BETWEEN = (
    "SELECT seq, at_ms, kind, version, cause, data, prev, hash FROM entry"
    " WHERE job = ? AND seq BETWEEN ? AND ? ORDER BY seq"
)
_SAID_BETWEEN = "SELECT seq, key, salt, value FROM personal WHERE job = ? AND seq BETWEEN ? AND ? ORDER BY seq, key"
_ADD = "INSERT INTO entry (job, seq, at_ms, kind, version, cause, data, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
_SAY = "INSERT INTO personal (job, seq, key, salt, value) VALUES (?, ?, ?, ?, ?)"
_MOVE_ON = "UPDATE head SET seq = :seq, hash = :hash WHERE job = :job"
_FIRST_END = "INSERT INTO head (job, seq, hash) VALUES (:job, :seq, :hash)"
_LEASE = "SELECT token, bay, host, pid, until_ms FROM lease WHERE job = ?"


def job_names(db: sqlite3.Connection) -> list[str]:
    """Return the names of all jobs, newest first."""
    return [name for (name,) in db.execute("SELECT name FROM job ORDER BY number DESC")]


def has_job(db: sqlite3.Connection, name: str) -> bool:
    """Return whether there is a job of just this name."""
    return db.execute("SELECT 1 FROM job WHERE name = ?", (name,)).fetchone() is not None


def bays(db: sqlite3.Connection) -> list[tuple[str, str]]:
    """Return the name and the bay of all jobs, newest first."""
    return db.execute("SELECT name, bay FROM job ORDER BY number DESC").fetchall()


def add_job(db: sqlite3.Connection, name: str, bay: str) -> None:
    """Put a job behind those that are there."""
    db.execute("INSERT INTO job (name, bay, number) SELECT ?, ?, count(*) + 1 FROM job", (name, bay))


def end_of(db: sqlite3.Connection, name: str) -> Head:
    """Return the end of the chain of a job."""
    row = db.execute("SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (name,)).fetchone()
    return Head(*row)


def insert(db: sqlite3.Connection, name: str, stored: Sequence[Stored], kept: Sequence[Kept]) -> None:
    """Put entries behind those of a job, what was said in them beside, and note the new end."""
    db.executemany(_ADD, [(name, *astuple(one)) for one in stored])
    db.executemany(_SAY, [(name, *astuple(one)) for one in kept])
    note = _MOVE_ON if stored[0].seq > 1 else _FIRST_END
    db.execute(note, {"job": name, "seq": stored[-1].seq, "hash": stored[-1].hash})


def lease_of(db: sqlite3.Connection, name: str) -> Lease | None:
    """Return the lease that is noted for a job."""
    row = db.execute(_LEASE, (name,)).fetchone()
    return None if row is None else Lease(*row)


def note_lease(db: sqlite3.Connection, name: str, lease: Lease) -> None:
    """Note who holds a job from now on."""
    db.execute(
        "INSERT OR REPLACE INTO lease (job, token, bay, host, pid, until_ms) VALUES (?, ?, ?, ?, ?, ?)",
        (name, *astuple(lease)),
    )


def drop_lease(db: sqlite3.Connection, name: str, token: str) -> None:
    """Take the note of a lease back, if it is the one with ``token``."""
    db.execute("DELETE FROM lease WHERE job = ? AND token = ?", (name, token))


def kept_of(db: sqlite3.Connection, name: str, path: Path) -> KeptJob:
    """Read all that the file at ``path`` has of a job, as far as it can be read.

    Raises:
        JournalFault: it cannot be read now, and is not damaged.
    """
    found = KeptJob()
    try:
        found.rows.extend(Stored(*row) for row in db.execute(_FROM, (name, 0)))
    except BROKEN_FILE as fault:
        if getattr(fault, "sqlite_errorcode", 0) & 0xFF not in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_IOERR, 0):
            raise explain(fault, path) from fault
        found.fault = fault
    try:
        found.said.extend(Kept(*row) for row in db.execute(_SAID, (name, 0)))
    except BROKEN_FILE as fault:
        found.said_fault = fault
    try:
        found.end = db.execute("SELECT seq, hash FROM head WHERE job = ?", (name,)).fetchone()
    except BROKEN_FILE as fault:
        found.end_fault = fault
    return found


def first_rows(db: sqlite3.Connection, name: str) -> tuple[list[Stored], list[Kept]]:
    """Return the first entry of a job, and what was said in it."""
    rows = [Stored(*row) for row in db.execute(_FIRST, (name,))]
    return rows, [Kept(*row) for row in db.execute(_SAID_FIRST, (name,))]


def rows_behind(db: sqlite3.Connection, name: str, after: int) -> tuple[list[Stored], list[Kept]]:
    """Return the entry number ``after`` of a job and those behind it, and what was said behind it."""
    rows = [Stored(*row) for row in db.execute(_FROM, (name, after))]
    return rows, [Kept(*row) for row in db.execute(_SAID, (name, after))]


def rows_between(db: sqlite3.Connection, name: str, least: int, most: int) -> tuple[list[Stored], list[Kept]]:
    """Return the entries of a job from the number ``least`` to ``most``, and what was said in them."""
    asked = (name, least, most)
    rows = [Stored(*row) for row in db.execute(_BETWEEN, asked)]
    return rows, [Kept(*row) for row in db.execute(_SAID_BETWEEN, asked)]


def rows_of_kinds(db: sqlite3.Connection, name: str, after: int, kinds: Sequence[str]) -> list[Stored]:
    """Return the entries of ``kinds`` of a job behind the number ``after``."""
    return [Stored(*row) for row in db.execute(_OF_KINDS, (name, after, canonical(list(kinds))))]


def entries_found(db: sqlite3.Connection, kinds: Sequence[str]) -> Iterator[tuple[str, Entry]]:
    """Yield every entry of ``kinds`` that can be read, with its job; the file is read before the first is given."""
    asked = (canonical(list(kinds)),)
    rows = db.execute(_FOUND, asked).fetchall()
    said = {(job, seq, key): value for job, seq, key, value in db.execute(_FOUND_SAID, asked)}
    return _opened(rows, said)


def _opened(rows: Sequence[tuple[Any, ...]], said: dict[tuple[str, int, str], str]) -> Iterator[tuple[str, Entry]]:
    for job, *fields in rows:
        stored = Stored(*fields)
        with contextlib.suppress(ValueError, TypeError):
            data = json.loads(stored.data)
            if isinstance(data, dict):
                for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
                    data[key] = json.loads(said.get((job, stored.seq, key), f'"{GONE}"'))
                yield job, as_entry(stored, data)


def turn_of(db: sqlite3.Connection, name: str) -> str:
    """Return the last kind of entry that changed how a job stands; "" when there is none."""
    row = db.execute(_TURN, (name, canonical(list(STATES)))).fetchone()
    return row[0] if row else ""


def info_of(db: sqlite3.Connection, name: str, bay: str) -> JobInfo:
    """Return the line about a job; of one that cannot be read, that it is damaged."""
    try:
        first, last = (Stored(*db.execute(question, (name,)).fetchone()) for question in (_FIRST, _LAST))
        return summarise(name, bay, first, last, turn_of(db, name))
    except (sqlite3.DatabaseError, TypeError, ValueError, AttributeError):  # the line says so; verify() says where
        return unreadable(name, bay)
