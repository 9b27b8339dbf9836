"""A journal in memory, for tests and for trying things out: the rules of the one on disk, gone with its process."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.events import Record
from assistant.journal.chain import Head, as_entry, link
from assistant.journal.port import (
    Damaged,
    Entry,
    JobBusy,
    JobInfo,
    Stored,
    Verdict,
    check_chain,
    day_of,
    next_name,
    pick,
)
from assistant.journal.summary import STATES, summarise


class MemoryJournal:
    """All jobs of one bay, in memory."""

    def __init__(self) -> None:
        self._jobs: dict[str, list[Stored]] = {}
        self._held: set[str] = set()

    def create(self, records: Sequence[Record], now_ms: int) -> MemoryJob:
        """Open a new job with its first records and hold it."""
        if not records:
            raise ValueError("a job is opened with at least one record")
        name = next_name(day_of(now_ms), self._jobs)
        self._jobs[name] = link(name, Head(), records, now_ms)
        return self.open_job(name)

    def open_job(self, name: str) -> MemoryJob:
        """Hold a job that exists."""
        name = self.resolve(name)
        if name in self._held:
            raise JobBusy(f"Job {name} is being worked on already; end that first.")
        self._held.add(name)
        return MemoryJob(name, self._jobs[name], self._held)

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means."""
        return pick(name, list(reversed(self._jobs)))

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only."""
        name = self.resolve(name)
        return check_chain(name, self._jobs[name])[0]

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""
        return [self._info(name, stored) for name, stored in reversed(self._jobs.items())]

    def _info(self, name: str, stored: list[Stored]) -> JobInfo:
        turn = next((row.kind for row in reversed(stored) if row.kind in STATES), "")
        return summarise(name, stored[0], stored[-1], turn)

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job."""
        name = self.resolve(name)
        return check_chain(name, self._jobs[name])[1]

    def close(self) -> None:
        """Let every job go."""
        self._held.clear()


class MemoryJob:
    """One job in memory, held by one owner."""

    def __init__(self, name: str, stored: list[Stored], held: set[str]) -> None:
        self.id = name
        self._stored = stored
        self._held = held
        self._open = True

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one go."""
        last = self._stored[-1]
        new = link(self.id, Head(last.seq, last.hash), records, now_ms)
        self._stored.extend(new)
        return [as_entry(row) for row in new]

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""
        entries, verdict = check_chain(self.id, self._stored)
        if not verdict.good:
            raise Damaged(verdict.sentence)
        return entries

    def close(self) -> None:
        """Let the job go."""
        if self._open:
            self._held.discard(self.id)
        self._open = False
