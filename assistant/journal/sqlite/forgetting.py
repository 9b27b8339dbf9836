"""Removes what people said, and who they were, from one job: out of the file itself, with the chain as it was."""

from __future__ import annotations

import contextlib
import sqlite3

from assistant.events import Record
from assistant.journal.chain import Head, link
from assistant.journal.faults import BROKEN_FILE, explain
from assistant.journal.personal import redact
from assistant.journal.port import FIRST, Damaged, JournalFault, Stored, chain_hash
from assistant.journal.sqlite import SqliteJournal

_ROWS = "SELECT seq, at_ms, kind, data, prev, hash FROM entry WHERE job = ? ORDER BY seq"
_GUARD = "SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND name = 'entry_no_update'"


def forget(journal: SqliteJournal, name: str, now_ms: int) -> int:
    """Remove the personal data of the closed job ``name`` and return how many entries had any; 0 changes nothing.

    Values beside the chain are deleted. Entries of the first format, which hold them inside, are rewritten with digests
    in their places; they keep the hash that they had, and the entry that is appended says which they are. Then the
    file is written anew, so that nothing of it is left in free pages.

    Raises:
        JournalFault: there is no such job, it is open, busy or damaged, or the disk is full; nothing was removed then.
    """
    job = journal.open_job(name)
    try:
        entries = job.entries()
        turns = [entry.kind for entry in entries if entry.kind in ("closed", "paused", "carried_on")]
        if "closed" not in turns:
            raise JournalFault(
                f"Job {job.id} is not closed, and it could not be gone on with afterwards; close it first, with: "
                f"assistant resume {job.id}"
            )
        db = journal._db
        try:
            # The rollback file holds old pages: with DELETE it goes with the commit.
            db.execute("PRAGMA secure_delete = ON")
            db.execute("PRAGMA journal_mode = DELETE")
            with journal._transaction():
                count = _remove(db, job.id, max(now_ms, entries[-1].at_ms))
            if count:
                db.execute("VACUUM")
        finally:
            with contextlib.suppress(sqlite3.Error):
                db.execute("PRAGMA journal_mode = PERSIST")
    except BROKEN_FILE as fault:
        raise explain(fault, journal._path) from fault
    finally:
        job.close()
    verdict = journal.verify(name)
    if not verdict.good:
        raise Damaged(verdict.sentence)
    return count


def _remove(db: sqlite3.Connection, job: str, now_ms: int) -> int:
    rows = [Stored(*row) for row in db.execute(_ROWS, (job,))]
    (beside,) = db.execute("SELECT count(DISTINCT seq) FROM personal WHERE job = ?", (job,)).fetchone()
    before = zip((FIRST, *(row.hash for row in rows)), rows, strict=False)
    inside = [(new, prev) for prev, row in before if (new := redact(row)) is not None]
    if not beside and not inside:
        return 0
    guard = db.execute(_GUARD).fetchone()
    db.execute("DROP TRIGGER IF EXISTS entry_no_update")
    for new, _ in inside:
        db.execute("UPDATE entry SET data = ? WHERE job = ? AND seq = ?", (new.data, job, new.seq))
    if guard:
        db.execute(guard[0])
    rewritten = [[new.seq, chain_hash(job, new.seq, new.at_ms, new.kind, new.data, prev)] for new, prev in inside]
    head = Head(rows[-1].seq, rows[-1].hash)
    for new in link(
        job, head, [Record("forgotten", {"rewritten": rewritten, "entries": beside + len(inside)})], now_ms
    ):
        db.execute(
            "INSERT INTO entry (job, seq, at_ms, kind, data, prev, hash) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (job, new.seq, new.at_ms, new.kind, new.data, new.prev, new.hash),
        )
        db.execute("UPDATE head SET seq = ?, hash = ? WHERE job = ?", (new.seq, new.hash, job))
    db.execute("DELETE FROM personal WHERE job = ?", (job,))
    return int(beside) + len(inside)
