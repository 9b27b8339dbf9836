"""Opens the journal's file: to write, only when it is whole and ours; to read, whatever is left of it.

Reading never changes the file, with one exception: what a killed process had half written is taken back first, as
SQLite itself would do at the next start.
"""

from __future__ import annotations

import contextlib
import sqlite3
import stat
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from assistant.files import private_file, private_folder
from assistant.journal.sqlite.faults import BROKEN_FILE, damaged, explain, foreign, no_journal, other_format

FORMAT = 1
"""The format of the file, kept in SQLite's ``user_version``; it goes up when other versions could not use the file."""

APPLICATION_ID = 0x57524E43
"""Marks a file as ours, in SQLite's ``application_id`` (the ASCII letters WRNC)."""

_PIECE = 256
"""So many pages are copied before whoever waits to write may go first: a few milliseconds."""

_PAGE_SIZE_AT, _PAGE_COUNT_AT = slice(16, 18), slice(28, 32)
"""Where the header of a SQLite file holds these two (SQLite database file format, section 1.3)."""


def open_to_write(path: Path) -> sqlite3.Connection:
    """Return a connection that may write; the file and its folder are made when they are not there.

    Raises:
        JournalFault: it cannot be written, is not ours, has another format, or is damaged (``Damaged``); the file is
            unchanged then.
    """
    try:
        private_folder(path.parent)
        if not path.exists():
            private_file(path)  # what was said and noted in the bay is nobody else's business
        db = _connect(path, "rw")
        with _closing_on_fault(db):
            if _is_empty(db):
                _make(db)
            _check_format(db, path)
            _check_pages(db, path)
            db.execute("PRAGMA foreign_keys = ON")
            # PERSIST: the commit is the sync of a zeroed header. (DELETE removes the rollback file instead and, at
            # FULL, does not sync the folder after it: if the power goes then, the file and the old state are back.)
            db.execute("PRAGMA journal_mode = PERSIST")
            db.execute("PRAGMA synchronous = FULL")
    except (OSError, *BROKEN_FILE) as fault:
        raise explain(fault, path) from fault
    return db


def open_to_read(path: Path) -> tuple[sqlite3.Connection, str]:
    """Return a connection that can only read; where the file cannot be read in place, to a copy in memory, and why.

    The second value is what is wrong with the file; "" when nothing is known to be.

    Raises:
        JournalFault: there is no file, it is not ours, it has another format, or nothing of it can be read.
    """
    try:
        try:
            mode = path.stat().st_mode
        except FileNotFoundError as fault:
            raise no_journal(path) from fault
        if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
            raise foreign(path)  # a pipe or a device has no end
        db, damage = _whole(path)
        if db is None:
            db = _salvaged(path)
        with _closing_on_fault(db):
            _check_format(db, path)
    except (OSError, *BROKEN_FILE) as fault:
        raise explain(fault, path) from fault
    return db, damage


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    return sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False, timeout=5.0)


@contextlib.contextmanager
def _closing_on_fault(db: sqlite3.Connection) -> Iterator[None]:
    try:
        yield
    except BaseException:
        db.close()
        raise


def _whole(path: Path) -> tuple[sqlite3.Connection | None, str]:
    """Return a connection that only reads, or None when SQLite cannot read the file in place, and what is wrong there.

    Where the file may be written, it is opened so: a commit that broke off, or one beside us that looks to a reader as
    if it had, is then looked at under a lock and taken back. Mode ``ro`` fails at both, at any of its questions.
    """
    fault: Exception | None = None
    for mode in ("rw", "ro"):
        try:
            db = _connect(path, mode)
            with _closing_on_fault(db):
                db.execute("PRAGMA query_only = ON")
                db.execute("SELECT count(*) FROM sqlite_schema")
        except BROKEN_FILE as found:
            fault = found
        else:
            return db, ""
    return None, " ".join(str(fault).split())


def _salvaged(path: Path) -> sqlite3.Connection:
    """Return a connection to a copy in memory, filled up with empty pages to the length that its header names."""
    data = bytearray(path.read_bytes())
    size = int.from_bytes(data[_PAGE_SIZE_AT], "big")
    size = 65536 if size == 1 else size
    missing = int.from_bytes(data[_PAGE_COUNT_AT], "big") * size - len(data)
    if 0 < missing <= 2 * len(data) + 65536:  # a header that asks for more than that is damaged itself
        data += bytes(missing)
    db = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    with _closing_on_fault(db):
        db.deserialize(bytes(data))
        db.execute("PRAGMA writable_schema = ON")  # what is damaged in the schema is passed over, where it can be
        db.execute("PRAGMA query_only = ON")
    return db


def _is_empty(db: sqlite3.Connection) -> bool:
    """Return whether nothing was ever put into the file."""
    return not _number(db, "PRAGMA application_id") and not _number(db, "SELECT count(*) FROM sqlite_schema")


def _make(db: sqlite3.Connection) -> None:
    script = resources.files("assistant.journal.sqlite").joinpath("schema.sql").read_text("utf-8")
    marks = f"PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = {FORMAT};"
    try:
        db.executescript(f"PRAGMA synchronous = EXTRA; BEGIN IMMEDIATE; {script}; {marks} COMMIT;")
    except sqlite3.Error as fault:
        if db.in_transaction:
            db.execute("ROLLBACK")
        if fault.sqlite_errorcode != sqlite3.SQLITE_ERROR:  # that one: another process made the tables in this moment
            raise


def _check_format(db: sqlite3.Connection, path: Path) -> None:
    if _number(db, "PRAGMA application_id") != APPLICATION_ID:
        raise foreign(path)
    version = _number(db, "PRAGMA user_version")
    if version != FORMAT:
        raise other_format(path, version, FORMAT)


def _check_pages(db: sqlite3.Connection, path: Path) -> None:
    """Raise ``Damaged`` when the file's pages do not fit together; a new job in such a file could be lost with it."""
    if found := damage_of(db):
        raise damaged(path, found)


def damage_of(db: sqlite3.Connection) -> str:
    """Return what does not fit in the pages, the trees and the references of the file; "" when all of it does.

    They are looked at in a copy in memory that is made piece by piece: a job at work waits for one piece at most.
    """
    copy = sqlite3.connect(":memory:", isolation_level=None)
    try:
        db.backup(copy, pages=_PIECE)
        found = str(copy.execute("PRAGMA integrity_check(1)").fetchone()[0])
        if found != "ok":
            return " ".join(found.split())
        stray = copy.execute("PRAGMA foreign_key_check").fetchone()
    except BROKEN_FILE as fault:
        return " ".join(str(fault).split())
    finally:
        copy.close()
    return "" if stray is None else f"what is in the table {stray[0]} belongs to nothing in the table {stray[2]}"


def _number(db: sqlite3.Connection, question: str) -> int:
    return int(db.execute(question).fetchone()[0])
