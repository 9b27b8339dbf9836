"""The port of the journal: what every store must do. There is no verb to change or remove an entry."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.events import Record

FIRST = "0" * 64
"""What stands for the hash before the first entry of a job."""


class JournalFault(Exception):
    """The journal cannot do what was asked; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class JobBusy(JournalFault):
    """Another process works on the job."""


class UnknownJob(JournalFault):
    """There is no such job, or the name fits several."""


class Damaged(JournalFault):
    """The file is broken; what is readable can be read, nothing can be written."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a job. ``seq`` counts from 1; ``at_ms`` is in milliseconds since the epoch (UTC)."""

    seq: int
    at_ms: int
    kind: str
    data: Mapping[str, Any]
    prev: str
    hash: str


@dataclass(frozen=True, slots=True)
class JobInfo:
    """One line in the list of jobs; times in milliseconds since the epoch."""

    id: str
    title: str
    procedure_id: str
    opened_at_ms: int
    last_at_ms: int
    state: str
    entries: int
    rehearsal: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a chain holds. ``head`` is the hash of the last good entry; ``sentence`` says what was found."""

    good: bool
    entries: int
    head: str
    sentence: str


class JobHandle(Protocol):
    """One job, held for writing by this process alone."""

    @property
    def id(self) -> str:
        """The job's name, for example ``2026-11-25-1``."""

    def append(self, records: Sequence[Record], now_ms: int) -> list[Entry]:
        """Keep all ``records`` in one transaction; when this returns they are on disk.

        Raises:
            JournalFault: they could not be kept; none of them was, and the handle can be used again.
        """

    def entries(self) -> list[Entry]:
        """Return all entries, in order."""

    def close(self) -> None:
        """Let the job go; another process may take it."""


class Journal(Protocol):
    """All jobs of one bay."""

    def create(self, records: Sequence[Record], now_ms: int) -> JobHandle:
        """Open a new job with its first records and hold it."""

    def open_job(self, name: str) -> JobHandle:
        """Hold a job that exists.

        Raises:
            UnknownJob, JobBusy, Damaged: it cannot be held for writing.
        """

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only."""

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job."""

    def close(self) -> None:
        """Free the store."""


def canonical(value: Any) -> str:
    """Return ``value`` as canonical JSON (RFC 8785): sorted keys, no spaces, shortest escapes.

    Our values hold no floating-point numbers and only ASCII keys, for which Python's ``json`` gives just that form.

    Raises:
        TypeError: the value holds a float or something that is not JSON.
    """
    _refuse_floats(value)
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _refuse_floats(value: Any) -> None:
    if isinstance(value, float):
        raise TypeError(f"a journal value may not be a float: {value!r}; send it as text")
    if isinstance(value, Mapping):
        for key, part in value.items():
            if not isinstance(key, str):
                raise TypeError(f"a key in a journal value must be text, not {key!r}")
            _refuse_floats(part)
    elif isinstance(value, list | tuple):
        for part in value:
            _refuse_floats(part)


def chain_hash(job: str, seq: int, at_ms: int, kind: str, data: str, prev: str) -> str:
    """Return the SHA-256, in hexadecimal, of one entry.

    It is taken over the UTF-8 of the canonical JSON list ``[job, seq, at_ms, kind, data, prev]``, where ``data`` is the
    canonical JSON of the entry's values, as text. docs/journal.md shows how to check it by hand.
    """
    return hashlib.sha256(canonical([job, seq, at_ms, kind, data, prev]).encode()).hexdigest()


def check_chain(job: str, entries: Iterable[Entry]) -> Verdict:
    """Return whether every entry fits the one before it, and the first that does not."""
    prev, count = FIRST, 0
    for entry in entries:
        expected = chain_hash(job, count + 1, entry.at_ms, entry.kind, canonical(entry.data), prev)
        if (entry.seq, entry.prev, entry.hash) != (count + 1, prev, expected):
            sentence = (
                f"Entry {count + 1} of job {job} does not fit the chain; the {count} entries before it are good. "
                f"Read them with: assistant show {job}"
            )
            return Verdict(False, count, prev, sentence)
        prev, count = entry.hash, count + 1
    return Verdict(True, count, prev, f"All {count} entries of job {job} fit the chain.")


def next_name(day: str, taken: Iterable[str]) -> str:
    """Return a name for a new job: the day (``YYYY-MM-DD``) and a running number."""
    numbers = [int(name.rpartition("-")[2]) for name in taken if name.startswith(day + "-")]
    return f"{day}-{max(numbers, default=0) + 1}"


def pick(name: str, newest_first: Sequence[str]) -> str:
    """Return the job that ``name`` means: itself, ``last``, or the only one that begins or ends with it.

    Raises:
        UnknownJob: none does, or several do.
    """
    if name in newest_first:
        return name
    if not newest_first:
        raise UnknownJob("There is no job in the journal yet; start one with: assistant run PROCEDURE")
    if name == "last":
        return newest_first[0]
    near = [job for job in newest_first if job.startswith(name)] or [job for job in newest_first if job.endswith(name)]
    if len(near) == 1:
        return near[0]
    if near:
        raise UnknownJob(f'"{name}" fits several jobs ({", ".join(near[:4])}); give the whole name.')
    raise UnknownJob(f'There is no job "{name}"; see the names with: assistant jobs')
