"""One job on disk, held for writing: every answer is one transaction, on disk before it is spoken."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Sequence

from assistant.facts import Fact
from assistant.journal.chain import Head, Stored, as_entry, link
from assistant.journal.forms import forms
from assistant.journal.leasing import behind, is_due, let_go, refuse_unless_free, renewed
from assistant.journal.personal import Kept, seal, unsealed
from assistant.journal.port import Damaged, Entry, JournalFault, Lease
from assistant.journal.reading import judged
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.lock import JobLock


def linked(name: str, head: Head, facts: Sequence[Fact], now_ms: int) -> tuple[list[Stored], list[Kept]]:
    """Return ``facts`` as entries behind ``head``, and what people said in them, which is kept beside the chain."""
    sealed, kept = seal(forms(facts, head.seq + 1), head.seq + 1)
    return link(name, head, sealed, now_ms), kept


class SqliteJob:
    """One job on disk. The lease in the file keeps other machines out, the kernel's lock beneath it this one's."""

    def __init__(self, db: Database, name: str, lock: JobLock, mine: Lease, ends: tuple[Head, ...] = ()) -> None:
        self.id = name
        self._db = db
        self._lock = lock
        self._mine: Lease | None = mine
        self._checked: list[Entry] | None = None
        self._ends = ends
        """Where the job may end on disk: as it was last seen, and as an append left it that did not return."""

    def check(self) -> None:
        """Read and check all entries; the next :meth:`entries` gives them without doing so again.

        Raises:
            JournalFault: they do not fit, or cannot all be read.
        """
        with self._db.snapshot() as db:
            kept = rows.kept_of(db, self.id, self._db.path)
        entries, verdict = judged(self.id, kept)
        if not verdict.good:
            raise Damaged(verdict.sentence)
        self._checked = entries
        self._ends = (Head(verdict.entries, verdict.head),)

    def append(self, facts: Sequence[Fact], now_ms: int) -> list[Entry]:
        """Keep all ``facts`` in one transaction; when this returns they are on disk.

        Raises:
            JournalFault: they could not be kept; none of them was, and this can be tried again.
            JobBusy: another process holds the job by now, or wrote into it since it was last read here.
        """
        if not facts:
            return []
        self._checked = None
        mine = self._held()
        self._lock.keep()
        self._db.check_place()
        with self._db.transaction() as db:
            mine = self._keep(db, mine, now_ms)
            # The end of the chain is read from disk each time: it is right even after a fault or an interruption.
            head = rows.end_of(db, self.id)
            if head not in self._ends:
                raise behind(self.id)
            new, kept = linked(self.id, head, facts, now_ms)
            rows.insert(db, self.id, new, kept)
            self._ends = (head, Head(new[-1].seq, new[-1].hash))
        self._ends, self._mine = self._ends[1:], mine
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

    def renew(self, now_ms: int) -> None:
        """Keep the lease through a silence.

        Raises:
            JobBusy: another one has the job by now.
            JournalFault: it could not be written.
        """
        if is_due(self._held(), now_ms):
            self.take(now_ms)

    def take(self, now_ms: int) -> None:
        """Note in the file that the job is held here.

        Raises:
            JobBusy: another one holds it.
            JournalFault: it could not be written.
        """
        self._lock.keep()
        self._db.check_place()
        with self._db.transaction() as db:
            mine = self._keep(db, self._held(), now_ms)
        self._mine = mine

    def close(self) -> None:
        """Let the job go; another process may take it."""
        mine, self._mine = self._mine, None
        if mine is None:
            return
        with contextlib.suppress(JournalFault):  # a note that stays runs out; on this machine the lock is what counts
            self._db.check_place()
            with self._db.transaction() as db:
                rows.drop_lease(db, self.id, mine.token)
        self._lock.release()

    def _held(self) -> Lease:
        if self._mine is None:
            raise let_go(self.id)
        return self._mine

    def _keep(self, db: sqlite3.Connection, mine: Lease, now_ms: int) -> Lease:
        """Return our lease as it stands in the file now; it is noted anew when it is not there, or half over."""
        there = rows.lease_of(db, self.id)
        # The lock is ours, so whoever of this machine stands there is gone.
        refuse_unless_free(self.id, there, mine, now_ms, alive=False)
        if there is None or there.token != mine.token or is_due(there, now_ms):
            mine = renewed(mine, now_ms)
            rows.note_lease(db, self.id, mine)
        return mine
