"""A journal in memory: the rules of the one on disk, and gone with its process.

A rehearsal that nobody wants to keep works on it, and so do tests. Damage cannot come to it from outside, and a job in
it is held by whoever did not let it go: no process but this one has it.
"""

from __future__ import annotations

import os
import platform
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from assistant.facts import Fact
from assistant.journal.chain import Head, as_entry, link
from assistant.journal.forgetting import refuse_unless_closed
from assistant.journal.forms import forgotten, forms
from assistant.journal.leasing import behind, is_due, let_go, new_lease, refuse_unless_free, renewed
from assistant.journal.names import BAY, day_of, next_name, pick
from assistant.journal.personal import GONE, seal, unsealed
from assistant.journal.port import Damaged, Entry, JobInfo, Judged, Lease, Verdict
from assistant.journal.reading import KeptJob, first_of, followed, judged
from assistant.journal.summary import STATES, summarise


@dataclass(slots=True)
class Shelf:
    """One job in memory: what is kept of it, the bay that opened it, and who holds it."""

    bay: str
    kept: KeptJob = field(default_factory=KeptJob)
    lease: Lease | None = None


class MemoryJournal:
    """All jobs of one bay, in memory."""

    def __init__(self, *, bay: str = BAY, host: str | None = None, beside: MemoryJournal | None = None) -> None:
        """Begin empty, or on the same jobs as ``beside``; ``host`` names a machine other than this one."""
        self._jobs: dict[str, Shelf] = {} if beside is None else beside._jobs
        self._bay = bay
        self._host = platform.node() if host is None else host
        self._held: list[MemoryJob] = []

    def create(self, facts: Sequence[Fact], now_ms: int) -> MemoryJob:
        """Open a new job with its first facts and hold it."""
        if not facts:
            raise ValueError("a job is opened with at least one fact")
        name = next_name(self._bay, day_of(now_ms), self._jobs)
        shelf = Shelf(self._bay)
        _put(name, shelf, facts, now_ms)
        self._jobs[name] = shelf
        return self.hold(name, now_ms)

    def hold(self, name: str, now_ms: int) -> MemoryJob:
        """Hold a job that exists."""
        name = self.resolve(name)
        shelf = self._jobs[name]
        mine = new_lease(self._bay, self._host, os.getpid(), now_ms)
        refuse_unless_free(name, shelf.lease, mine, now_ms, alive=True)
        job = MemoryJob(name, shelf, mine)
        job.entries()
        shelf.lease = mine
        self._held.append(job)
        return job

    def lease(self, name: str) -> Lease | None:
        """Return who holds a job."""
        return self._jobs[self.resolve(name)].lease

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means."""
        return pick(name, list(reversed(self._jobs)))

    def read(self, name: str) -> Judged:
        """Return the entries of a job and whether they fit."""
        name = self.resolve(name)
        return judged(name, self._jobs[name].kept)

    def first(self, name: str) -> Entry:
        """Return the first entry of a job."""
        name = self.resolve(name)
        kept = self._jobs[name].kept
        return first_of(name, kept.rows[:1], [one for one in kept.said if one.seq == 1])

    def follow(self, name: str, after: int) -> list[Entry]:
        """Return the entries of a job behind the entry number ``after``."""
        name = self.resolve(name)
        kept = self._jobs[name].kept
        rows, said = kept.rows[max(0, after - 1) :], [one for one in kept.said if one.seq > after]
        return followed(name, after, rows, said)

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is a fact of one of ``classes``, with the name of its job."""
        kinds = {one.KIND for one in classes}
        for name, shelf in sorted(self._jobs.items()):
            rows = [row for row in shelf.kept.rows if row.kind in kinds]
            wanted = {row.seq for row in rows}
            said = [one for one in shelf.kept.said if one.seq in wanted]
            for entry in unsealed([as_entry(row) for row in rows], said, missing=GONE)[0]:
                yield name, entry

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""
        for name, shelf in list(reversed(self._jobs.items())):
            rows = shelf.kept.rows
            turn = next((row.kind for row in reversed(rows) if row.kind in STATES), "")
            yield summarise(name, shelf.bay, rows[0], rows[-1], turn)

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job."""
        return self.read(name).verdict

    def forget(self, name: str, now_ms: int) -> int:
        """Remove the personal data of a closed job and return how many entries had any."""
        job = self.hold(name, now_ms)
        try:
            entries = job.entries()
            refuse_unless_closed(job.id, entries)
            shelf = self._jobs[job.id]
            count = len({one.seq for one in shelf.kept.said})
            if count:
                shelf.kept.said.clear()
                job.append([forgotten(count)], max(now_ms, entries[-1].at_ms))
        finally:
            job.close()
        return count

    def close(self) -> None:
        """Let every job go that is held by way of this journal."""
        while self._held:
            self._held.pop().close()


class MemoryJob:
    """One job in memory, held by one owner."""

    def __init__(self, name: str, shelf: Shelf, mine: Lease) -> None:
        self.id = name
        self._shelf = shelf
        self._mine: Lease | None = mine
        self._end: tuple[int, str] | None = None

    def append(self, facts: Sequence[Fact], now_ms: int) -> list[Entry]:
        """Keep all ``facts`` in one go."""
        if not facts:
            return []
        self.renew(now_ms)
        if self._shelf.kept.end != self._end:
            raise behind(self.id)
        new = _put(self.id, self._shelf, facts, now_ms)
        self._end = self._shelf.kept.end
        return new

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""
        entries, verdict = judged(self.id, self._shelf.kept)
        if not verdict.good:
            raise Damaged(verdict.sentence)
        self._end = self._shelf.kept.end
        return entries

    def renew(self, now_ms: int) -> None:
        """Keep the lease through a silence."""
        if self._mine is None:
            raise let_go(self.id)
        there = self._shelf.lease
        refuse_unless_free(self.id, there, self._mine, now_ms, alive=True)
        if there is None or there.token != self._mine.token or is_due(self._mine, now_ms):
            self._mine = self._shelf.lease = renewed(self._mine, now_ms)

    def close(self) -> None:
        """Let the job go."""
        there, mine = self._shelf.lease, self._mine
        if there is not None and mine is not None and there.token == mine.token:
            self._shelf.lease = None
        self._mine = None


def _put(name: str, shelf: Shelf, facts: Sequence[Fact], now_ms: int) -> list[Entry]:
    kept = shelf.kept
    head = Head(*kept.end) if kept.end else Head()
    sealed, said = seal(forms(facts, head.seq + 1), head.seq + 1)
    rows = link(name, head, sealed, now_ms)
    kept.rows += rows
    kept.said += said
    kept.end = rows[-1].seq, rows[-1].hash
    return unsealed([as_entry(row) for row in rows], said)[0]
