"""The rows of the central store, as values and back: every statement of the journal there is here."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from assistant.central.link import CentralLink
from assistant.journal.chain import Head, Stored, as_entry
from assistant.journal.personal import GONE, SEALED, Kept
from assistant.journal.port import Entry, JobInfo, JobState, Lease
from assistant.journal.reading import KeptJob
from assistant.journal.summary import STATES

# By workshop and month as values, so that one partition is planned for: row-level security alone would let the store
# plan for those of all workshops.
_FROM = (
    "SELECT seq, at_ms, kind, version, cause, data, encode(prev, 'hex'), encode(hash, 'hex') FROM shop.entry"
    " WHERE workshop = %(mine)s AND month = %(month)s AND job = %(job)s"
    " AND seq BETWEEN %(least)s AND %(most)s ORDER BY seq"
)
_SAID = (
    "SELECT seq, key, salt, value FROM shop.personal"
    " WHERE workshop = %(mine)s AND month = %(month)s AND job = %(job)s"
    " AND seq BETWEEN %(least)s AND %(most)s"
)
_ALL = 2**31 - 1
_FOUND = (
    "SELECT job, seq, at_ms, kind, version, cause, data, encode(prev, 'hex'), encode(hash, 'hex') FROM shop.entry"
    " WHERE workshop = %(mine)s AND kind = ANY(%(kinds)s) ORDER BY job, seq"
)
_FOUND_SAID = (
    "SELECT p.job, p.seq, p.key, p.value FROM shop.personal p JOIN shop.entry e"
    " USING (workshop, month, job, seq) WHERE p.workshop = %(mine)s AND e.workshop = %(mine)s"
    " AND e.kind = ANY(%(kinds)s)"
)
_INFO = (
    "SELECT name, title, procedure_id, opened_ms, last_ms, turn, seq, rehearsal, bay FROM shop.job"
    " ORDER BY opened_ms DESC, number DESC"
)
_RECEIVE = (
    "SELECT ended, why, at_seq FROM shop.receive(%s, %s, %s::integer[], %s::bigint[], %s::text[], %s::integer[],"
    " %s::integer[], %s::text[], %s::text[], %s::text[], %s::integer[], %s::text[], %s::text[], %s::text[])"
)


class CentralRows:
    """Asks the store by ``link``, which serves one thread."""

    def __init__(self, link: CentralLink) -> None:
        """Ask by ``link``."""
        self.link = link
        self._mine = ""
        self._months: dict[str, date | None] = {}

    @property
    def mine(self) -> str:
        """The workshop of the login."""
        if not self._mine:
            row = self.link.one("SELECT shop.my_workshop()")
            self._mine = str(row[0] or "") if row else ""
        return self._mine

    def _month(self, name: str) -> date | None:
        """Return the month of a job, which never changes; None where it is not here."""
        if self._months.get(name) is None:
            row = self.link.one("SELECT month FROM shop.job WHERE name = %s", (name,))
            self._months[name] = row[0] if row else None
        return self._months[name]

    def job_names(self) -> list[str]:
        """Return the names of all jobs of the workshop, newest first."""
        return [name for (name,) in self.link.ask("SELECT name FROM shop.job ORDER BY opened_ms DESC, number DESC")]

    def has_job(self, name: str) -> bool:
        """Return whether there is a job of just this name."""
        return self.link.one("SELECT 1 FROM shop.job WHERE name = %s", (name,)) is not None

    def end_of(self, name: str) -> Head:
        """Return the end of the chain of a job; that of an empty one where it is not here."""
        row = self.link.one("SELECT seq, encode(hash, 'hex') FROM shop.job WHERE name = %s", (name,))
        return Head() if row is None else Head(*row)

    def receive(self, name: str, bay: str, stored: Sequence[Stored], kept: Sequence[Kept]) -> tuple[int, str, int]:
        """Put entries of a job that was opened in ``bay`` behind those that are there.

        Returns:
            Where the job ends now, why no more was kept ("" when all is; ``central/schema/003_receiving.sql`` has the
            reasons), and from which entry on.
        """
        rows: list[tuple[Any, ...]] = [
            (s.seq, s.at_ms, s.kind, s.version, s.cause, s.data, s.prev, s.hash) for s in stored
        ]
        said: list[tuple[Any, ...]] = [(one.seq, one.key, one.salt, one.value) for one in kept]
        lists = [[row[at] for row in rows] for at in range(8)] + [[row[at] for row in said] for at in range(4)]
        ended, why, at_seq = self.link.ask(_RECEIVE, (name, bay, *lists))[0]
        return ended, why, at_seq

    def lease_of(self, name: str) -> Lease | None:
        """Return the lease that is noted for a job."""
        row = self.link.one("SELECT token, bay, host, pid, until_ms FROM shop.lease WHERE job = %s", (name,))
        return None if row is None else Lease(*row)

    def swap_lease(self, name: str, seen: Lease | None, new: Lease) -> bool:
        """Note who holds a job from now on; False when another one than ``seen`` stands there by now."""
        values = (name, seen.token if seen else "", new.token, new.host, new.pid, new.until_ms)
        return bool(self.link.ask("SELECT shop.swap_lease(%s, %s, %s, %s, %s, %s)", values)[0][0])

    def drop_lease(self, name: str, token: str) -> None:
        """Take the note of a lease back, if it is the one with ``token``."""
        self.link.ask("SELECT shop.drop_lease(%s, %s)", (name, token))

    def kept_of(self, name: str) -> KeptJob:
        """Read all that there is of a job, at one moment."""
        self._month(name)
        self.mine  # noqa: B018 - asked before the transaction, whose first word must be how it reads
        with self.link.transaction():
            self.link.ask("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            rows, said = self.rows_from(name, 1)
            end = self.link.one("SELECT seq, encode(hash, 'hex') FROM shop.job WHERE name = %s", (name,))
        return KeptJob(rows=rows, said=said, end=(end[0], end[1]) if end else None)

    def rows_from(self, name: str, least: int, most: int = _ALL) -> tuple[list[Stored], list[Kept]]:
        """Return the entries of a job from the number ``least`` to ``most``, and what was said in them."""
        asked = {"mine": self.mine, "month": self._month(name), "job": name, "least": least, "most": most}
        return [Stored(*row) for row in self.link.ask(_FROM, asked)], [
            Kept(*row) for row in self.link.ask(_SAID, asked)
        ]

    def entries_found(self, kinds: Sequence[str]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry of ``kinds``, with its job."""
        asked = {"mine": self.mine, "kinds": list(kinds)}
        with self.link.transaction():
            self.link.ask("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            rows = self.link.ask(_FOUND, asked)
            said = {(job, seq, key): value for job, seq, key, value in self.link.ask(_FOUND_SAID, asked)}
        for job, *fields in rows:
            stored = Stored(*fields)
            data = json.loads(stored.data)
            for key in [key for key, value in data.items() if isinstance(value, dict) and SEALED in value]:
                data[key] = json.loads(said.get((job, stored.seq, key), f'"{GONE}"'))
            yield job, as_entry(stored, data)

    def infos(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        for name, title, procedure_id, opened_ms, last_ms, turn, seq, rehearsal, bay in self.link.ask(_INFO):
            state = STATES.get(turn, JobState.OPEN)
            yield JobInfo(name, title, procedure_id, opened_ms, last_ms, state, seq, rehearsal=rehearsal, bay=bay)
