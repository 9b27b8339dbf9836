"""The entries of a bay's journal exactly as they are stored, for what carries them to another store."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from assistant.central.link import CentralLink
from assistant.journal.chain import Head, Stored
from assistant.journal.opening import journal_path
from assistant.journal.personal import Kept
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database


class Piece(NamedTuple):
    """Some entries of a job, and what was said in them."""

    rows: list[Stored]
    said: list[Kept]


class StoredJobs:
    """What is stored in a bay, to be read; it serves the thread that made it, and holds nobody up."""

    def __init__(self, folder: Path) -> None:
        """Open the journal in the data folder ``folder``.

        Raises:
            JournalFault: there is none, or it cannot be opened.
        """
        self._db = Database(journal_path(folder).resolve(), read_only=True)
        self._seen = -1

    def changed(self) -> bool:
        """Return whether anybody wrote since this was asked last."""
        with self._db.explained() as db:
            (now,) = db.execute("PRAGMA data_version").fetchone()
        before, self._seen = self._seen, now
        return bool(now != before)

    def heads(self) -> Mapping[str, tuple[str, Head]]:
        """Return of each job the bay that opened it, and the end of its chain; in the order in which they were opened.

        Raises:
            JournalFault: the file cannot be read.
        """
        asked = (
            "SELECT job.name, job.bay, head.seq, head.hash FROM job JOIN head ON head.job = job.name ORDER BY number"
        )
        with self._db.explained() as db, self._db.snapshot():
            return {name: (bay, Head(seq, digest)) for name, bay, seq, digest in db.execute(asked)}

    def piece(self, job: str, least: int, most: int) -> Piece:
        """Return the entries of ``job`` from the number ``least`` to ``most``.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained() as db, self._db.snapshot():
            stored, said = rows.rows_between(db, job, least, most)
        return Piece(stored, said)

    def close(self) -> None:
        """Free the file."""
        self._db.close()


class CentralJobs:
    """What the central store has of the jobs, and the way in."""

    def __init__(self, link: CentralLink) -> None:
        """Ask by ``link``."""
        self._link, self._rows = link, CentralRows(link)

    def ends(self, jobs: list[str]) -> Mapping[str, Head]:
        """Return where those of ``jobs`` end that the store has.

        Raises:
            CentralFault: the store cannot be reached.
        """
        asked = "SELECT name, seq, encode(hash, 'hex') FROM shop.job WHERE name = ANY(%s)"
        return {name: Head(seq, digest) for name, seq, digest in self._link.ask(asked, (jobs,))}

    def send(self, job: str, bay: str, piece: Piece) -> tuple[int, str, int]:
        """Send entries of ``job``, which was opened in ``bay``; see :meth:`CentralRows.receive`."""
        return self._rows.receive(job, bay, piece.rows, piece.said)

    def set_aside(self, job: str, one: Stored, why: str) -> None:
        """Let the store keep ``one``, which it cannot even read, aside as bytes."""
        raw = repr(one).encode("utf-8", "backslashreplace")
        self._link.ask("SELECT shop.put_aside(%s, %s, %s, %s, NULL, %s)", (job, one.seq, "", why, raw))
