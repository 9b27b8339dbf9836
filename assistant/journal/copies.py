"""The entries of a bay's journal exactly as they are stored, for what carries them to another store."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.journal.chain import Head, Stored
from assistant.journal.leasing import LEASE_MS, is_moved
from assistant.journal.opening import journal_path
from assistant.journal.personal import Kept
from assistant.journal.port import JobInfo, JobState, Lease
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.lock import is_running
from assistant.journal.summary import STATES


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

    def held(self) -> Mapping[str, Lease]:
        """Return the jobs that a living process of this machine holds, with its lease.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained() as db, self._db.snapshot():
            found = {
                job: Lease(*row) for job, *row in db.execute("SELECT job, token, bay, host, pid, until_ms FROM lease")
            }
        return {job: one for job, one in found.items() if not is_moved(one) and is_running(one.pid)}

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

    def piece(self, job: str, after: int) -> tuple[str, Piece]:
        """Return the bay that opened ``job``, and its entries behind the number ``after``.

        Raises:
            CentralFault: the store cannot be reached, or has no such job.
        """
        row = self._link.one("SELECT bay FROM shop.job WHERE name = %s", (job,))
        if row is None:
            raise CentralFault(f"The central store has no job {job}.")
        return row[0], Piece(*self._rows.rows_from(job, after + 1))

    def names(self) -> list[str]:
        """Return the names of all jobs of the workshop, newest first."""
        return self._rows.job_names()

    def hold(self, job: str, lease: Lease) -> tuple[str, str, str]:
        """Say that ``job`` is worked on here; return the bay that has it, its machine, and the bay that wants it."""
        values = (job, lease.token, lease.host, lease.pid, LEASE_MS)
        holder, host, wanted_by = self._link.ask("SELECT * FROM shop.hold_job(%s, %s, %s, %s, %s)", values)[0]
        return holder, host, wanted_by

    def give(self, job: str) -> None:
        """Let ``job`` go."""
        self._link.ask("SELECT shop.give_job(%s)", (job,))

    def want(self, job: str, from_bay: str, lease: Lease) -> tuple[str, str, int]:
        """Ask for ``job``; return what came of it (yours, asked, silent, unknown), who has it, and until when [ms]."""
        values = (job, from_bay, lease.token, lease.host, lease.pid, LEASE_MS)
        how, holder, until_ms = self._link.ask("SELECT * FROM shop.want_job(%s, %s, %s, %s, %s, %s)", values)[0]
        return how, holder or "", until_ms or 0

    def elsewhere(self, most: int) -> tuple[JobInfo, ...]:
        """Return the open jobs that other bays have, newest first; ``bay`` of each is the one that has it now."""
        found = self._link.ask("SELECT * FROM shop.jobs_elsewhere(%s)", (most,))
        return tuple(
            JobInfo(name, title, procedure, opened_ms, last_ms, STATES.get(turn, JobState.OPEN), seq, bay=holder)
            for name, title, procedure, opened_ms, last_ms, turn, seq, holder in found
        )
