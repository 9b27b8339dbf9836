"""A journal in memory, for rehearsals of code: the same rules as the one on disk, gone when the process ends."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from assistant.events import Record
from assistant.journal.chain import link
from assistant.journal.port import Entry, JobBusy, JobInfo, Verdict, check_chain, next_name, pick
from assistant.journal.summary import summarise


class MemoryJournal:
    """All jobs of one bay, in memory."""

    def __init__(self) -> None:
        self._jobs: dict[str, list[Entry]] = {}
        self._held: set[str] = set()

    def create(self, records: Sequence[Record], now_ms: int) -> MemoryJob:
        """Open a new job with its first records and hold it."""
        day = datetime.fromtimestamp(now_ms / 1000, UTC).date().isoformat()
        name = next_name(day, self._jobs)
        self._jobs[name] = []
        job = self.open_job(name)
        job.append(records, now_ms)
        return job

    def open_job(self, name: str) -> MemoryJob:
        """Hold a job that exists."""
        name = pick(name, self._names())
        if name in self._held:
            raise JobBusy(f"Job {name} is being worked on already; end that first.")
        self._held.add(name)
        return MemoryJob(name, self._jobs[name], self._held)

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only."""
        return list(self._jobs[pick(name, self._names())])

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""
        return [summarise(name, self._jobs[name]) for name in self._names()]

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job."""
        name = pick(name, self._names())
        return check_chain(name, self._jobs[name])

    def close(self) -> None:
        """Let every job go."""
        self._held.clear()

    def _names(self) -> list[str]:
        return list(reversed(self._jobs))


class MemoryJob:
    """One job in memory, held by one owner."""

    def __init__(self, name: str, entries: list[Entry], held: set[str]) -> None:
        self.id = name
        self._entries = entries
        self._held = held

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one go."""
        new = link(self.id, self._entries[-1] if self._entries else None, records, now_ms)
        self._entries.extend(new)
        return new

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""
        return list(self._entries)

    def close(self) -> None:
        """Let the job go."""
        self._held.discard(self.id)
