"""The entries of a bay's journal exactly as they are stored, for what carries them to another store."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import NamedTuple

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts import Fact
from assistant.journal.chain import Head, Stored, as_entry
from assistant.journal.leasing import LEASE_MS, is_moved
from assistant.journal.opening import journal_path
from assistant.journal.personal import Kept
from assistant.journal.port import Entry, JobInfo, JobState, Lease
from assistant.journal.postgres.rows import CentralRows
from assistant.journal.sqlite import rows
from assistant.journal.sqlite.database import Database
from assistant.journal.sqlite.lock import is_running
from assistant.journal.summary import STATES

_NOBODY = Lease("", "", "", 0, 0)
NOBODYS_TOKEN = "-"  # noqa: S105 - of the lease of a job that the bay has, and on which nobody works


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
        self._closed: set[str] = set()
        self._turns: dict[str, tuple[Head, str]] = {}

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

    def entries_of(self, job: str, after: int, classes: Collection[type[Fact]]) -> list[Entry]:
        """Return the entries of ``classes`` of ``job`` behind the number ``after``; their sealed fields stay sealed.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained() as db, self._db.snapshot():
            stored = rows.rows_of_kinds(db, job, after, [one.KIND for one in classes])
        return [as_entry(one) for one in stored]

    def away(self) -> set[str]:
        """Return the jobs that went to another bay.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained() as db, self._db.snapshot():
            leases = db.execute("SELECT job, token, bay, host, pid, until_ms FROM lease").fetchall()
        return {job for job, *row in leases if is_moved(Lease(*row))}

    def open_jobs(self, heads: Mapping[str, tuple[str, Head]]) -> Mapping[str, Lease]:
        """Return the jobs that this bay has and that are not closed, with the lease of who works on each now.

        A lease without a bay stands for nobody. ``heads`` are those of :meth:`heads`.

        Raises:
            JournalFault: the file cannot be read.
        """
        with self._db.explained() as db, self._db.snapshot():
            leases = {
                job: Lease(*row) for job, *row in db.execute("SELECT job, token, bay, host, pid, until_ms FROM lease")
            }
            for job, (_, head) in heads.items():
                if job not in self._closed and self._turns.get(job, (None, ""))[0] != head:
                    self._turns[job] = head, rows.turn_of(db, job)
                    if STATES.get(self._turns[job][1]) is JobState.CLOSED:
                        self._closed.add(job)
        mine = {job: leases.get(job, _NOBODY) for job in heads if job not in self._closed}
        return {job: one if is_running(one.pid) else _NOBODY for job, one in mine.items() if not is_moved(one)}

    def is_closed(self, job: str) -> bool:
        """Return whether ``job`` was found closed by :meth:`open_jobs`, which is asked first."""
        return job in self._closed

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

    def fetch(self, job: str, after: int) -> tuple[str, Piece]:
        """Return the bay that opened ``job``, and its entries behind ``after``; the store notes who has a copy.

        Raises:
            CentralFault: the store cannot be reached, or has no such job.
        """
        self._link.ask("SELECT shop.note_copy(%s)", (job,))
        return self.rest(job, after)

    def rest(self, job: str, after: int) -> tuple[str, Piece]:
        """Return the same, for a bay that is known to have the job.

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

    def of_this_bay(self) -> list[tuple[str, int]]:
        """Return the jobs that this bay opened or has, and how many entries the store has of each, oldest first."""
        asked = (
            "SELECT j.name, j.seq FROM shop.job j LEFT JOIN shop.lease l ON l.workshop = j.workshop AND l.job = j.name"
            " WHERE coalesce(l.bay, j.bay) = shop.my_bay() ORDER BY j.opened_ms, j.number"
        )
        return [(name, seq) for name, seq in self._link.ask(asked)]

    def hold(self, jobs: Mapping[str, Lease], host: str) -> list[tuple[str, str, str, str]]:
        """Say that this bay, on the machine ``host``, has ``jobs``.

        Returns:
            For each that the store knows: its name, the bay that has it, its machine, and the bay that wants it.
        """
        tokens, pids = [one.token or NOBODYS_TOKEN for one in jobs.values()], [one.pid for one in jobs.values()]
        asked = "SELECT job, holder, host, wanted_by FROM shop.hold_jobs(%s, %s, %s, %s, %s)"
        return [
            (job, holder, on, wanted)
            for job, holder, on, wanted in self._link.ask(asked, (list(jobs), tokens, host, pids, LEASE_MS))
        ]

    def bay(self) -> str:
        """Return what the store calls this bay."""
        return str(self._link.ask("SELECT shop.my_bay()")[0][0])

    def mine(self, host: str) -> Mapping[str, tuple[str, int]]:
        """Return the jobs that this bay, on the machine ``host``, has as the store knows it, by name.

        Each with the token of its lease, and the time since the bay said so last [ms]: a long one where the process
        that said so is no more.
        """
        asked = (
            "SELECT job, token, host, pid, (extract(epoch FROM clock_timestamp()) * 1000)::bigint + %s - until_ms"
            " FROM shop.lease WHERE bay = shop.my_bay()"
        )
        return {
            job: (token, LEASE_MS if on == host and not is_running(pid) else age_ms)
            for job, token, on, pid, age_ms in self._link.ask(asked, (LEASE_MS,))
        }

    def listen(self) -> None:
        """Hear from now on that another bay wants a job of this one."""
        workshop, bay = self._link.ask("SELECT shop.my_workshop(), shop.my_bay()")[0]
        self._link.hear(f"want_{workshop}_{bay}")

    def is_wanted(self) -> bool:
        """Return whether another bay asked for a job since this was asked last."""
        return bool(self._link.told())

    def to_forget(self) -> list[str]:
        """Return the jobs that were forgotten elsewhere, and of which this bay has a copy with what people said."""
        return [job for (job,) in self._link.ask("SELECT * FROM shop.copies_to_forget()")]

    def forgotten(self, job: str) -> None:
        """Confirm that the copy of ``job`` in this bay is rid of what people said."""
        self._link.ask("SELECT shop.copy_forgotten(%s)", (job,))

    def give(self, job: str, token: str) -> None:
        """Let ``job`` go, if its lease is still the one with ``token``."""
        self._link.ask("SELECT shop.give_job(%s, %s)", (job, token))

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
