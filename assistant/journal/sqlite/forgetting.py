"""Removes what people said, and who they were, from one job: out of the file itself, with the chain as it was."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator

from assistant.journal.chain import Head
from assistant.journal.forgetting import refuse_unless_closed
from assistant.journal.forms import forgotten
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.job import SqliteJob, linked


def forget(file: Database, job: SqliteJob, now_ms: int) -> int:
    """Remove the personal data of the closed job ``job``, which is held, and return how many entries had any.

    The values beside the chain are deleted, and an entry says so. Then the file is written anew, so that nothing of it
    is left in free pages.

    Raises:
        JournalFault: it is not closed, is damaged, or the disk is full; nothing was removed then.
    """
    entries = job.entries()
    refuse_unless_closed(job.id, entries)
    with leaving_nothing(file) as db:
        with file.transaction():
            count = _remove(db, job.id, Head(entries[-1].seq, entries[-1].hash), max(now_ms, entries[-1].at_ms))
        if count:
            db.execute("VACUUM")
    job.check()
    return count


@contextlib.contextmanager
def leaving_nothing(file: Database) -> Iterator[sqlite3.Connection]:
    """Let what is deleted meanwhile leave nothing in the rollback file; a VACUUM writes the file itself anew."""
    with file.explained() as db:
        try:
            # The rollback file holds old pages: with DELETE it goes with the commit.
            db.execute("PRAGMA secure_delete = ON")
            db.execute("PRAGMA journal_mode = DELETE")
            yield db
        finally:
            with contextlib.suppress(sqlite3.Error):
                db.execute("PRAGMA journal_mode = PERSIST")


def _remove(db: sqlite3.Connection, job: str, head: Head, now_ms: int) -> int:
    (count,) = db.execute("SELECT count(DISTINCT seq) FROM personal WHERE job = ?", (job,)).fetchone()
    if count:
        new, kept = linked(job, head, [forgotten(count)], now_ms)
        rows.insert(db, job, new, kept)
        db.execute("DELETE FROM personal WHERE job = ?", (job,))
    return int(count)
