"""The port of the journal: what every store must do. There is no verb to change or remove an entry."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from assistant.events import Record
from assistant.journal.canonical import written

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
    """One line in the list of jobs; times in milliseconds since the epoch.

    ``state`` is ``open``, ``paused``, ``closed`` or, when the job cannot be read to its end, ``damaged``.
    """

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
            JobBusy: another process has the job by now, or wrote into it since it was last read by this handle.
        """

    def entries(self) -> list[Entry]:
        """Return all entries, in order.

        Raises:
            JournalFault: they cannot all be read; a state built from fewer would be behind what was confirmed.
        """

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

    def resolve(self, name: str) -> str:
        """Return the job that ``name`` means: itself, ``last``, its end or its beginning.

        Raises:
            UnknownJob: none does, or several do.
        """

    def entries(self, name: str) -> list[Entry]:
        """Return the entries of a job, read only; of a damaged one, those before the damage."""

    def jobs(self) -> list[JobInfo]:
        """Return all jobs, newest first."""

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job; the first entry that does not fit is named."""

    def close(self) -> None:
        """Free the store."""


def chain_hash(job: str, seq: int, at_ms: int, kind: str, data: str, prev: str) -> str:
    """Return the SHA-256, in hexadecimal, of one entry.

    It is taken over the UTF-8 of the canonical JSON list ``[job, seq, at_ms, kind, data, prev]``, where ``data`` is the
    canonical JSON of the entry's values, as text. docs/journal.md shows how to check it by hand.
    """
    line = written(
        [job, seq, at_ms, kind, data, prev]
    )  # text and whole numbers, checked before: this form is canonical
    return hashlib.sha256(line.encode("utf-8", "surrogatepass")).hexdigest()


@dataclass(frozen=True, slots=True)
class Stored:
    """One entry as a store holds it: ``data`` is text, and nothing in it has been checked."""

    seq: int
    at_ms: int
    kind: str
    data: str
    prev: str
    hash: str


def check_chain(job: str, stored: Iterable[Stored]) -> tuple[list[Entry], Verdict]:
    """Return the entries up to the first that does not fit the one before it, and what was found."""
    rows = list(stored)
    rewritten = _rewritten(rows)
    good: list[Entry] = []
    prev = FIRST
    for row in rows:
        seq = len(good) + 1
        data = _unpacked(row)
        own = chain_hash(job, seq, row.at_ms, row.kind, row.data, prev) if data is not None else ""
        if own and rewritten.get(seq) == own:
            own = row.hash  # what people said was taken out of it, and a later entry of the chain says so
        if data is None or (row.seq, row.prev, row.hash) != (seq, prev, own):
            return good, broken(job, good, "does not fit the chain")
        good.append(Entry(seq, row.at_ms, row.kind, data, prev, own))
        prev = own
    if not good:
        return good, broken(job, good, "is missing")
    sentence = f"All {len(good)} entries of job {job} fit the chain."
    if rewritten:
        sentence += f" {len(rewritten)} of them were rewritten when personal data was removed; their words are gone."
    return good, Verdict(True, len(good), prev, sentence)


def _rewritten(rows: Iterable[Stored]) -> dict[int, str]:
    """Return the hashes of the entries that were rewritten to remove personal data, as later entries give them."""
    found: dict[int, str] = {}
    for row in rows:
        if row.kind == "forgotten" and (data := _unpacked(row)):
            for pair in data.get("rewritten", ()):
                if isinstance(pair, list) and len(pair) == 2 and isinstance(pair[0], int) and pair[0] < row.seq:
                    found[pair[0]] = str(pair[1])
    return found


def broken(job: str, good: Sequence[Entry], how: str) -> Verdict:
    """Return the verdict on a job of which only the entries ``good`` can be trusted, and why the next one cannot."""
    before = {0: "there is none before it", 1: "the entry before it is good"}.get(
        len(good), f"the {len(good)} entries before it are good"
    )
    sentence = f"Entry {len(good) + 1} of job {job} {how}; {before}."
    if good:
        sentence += f" Read what is good with: assistant show {job}"
    return Verdict(False, len(good), good[-1].hash if good else FIRST, sentence)


def _unpacked(row: Stored) -> Mapping[str, Any] | None:
    """Return the values in ``row``, or None when it holds anything else than a JSON mapping without floats."""
    if not (isinstance(row.kind, str) and isinstance(row.data, str) and isinstance(row.at_ms, int)):
        return None  # a damaged page may give any type
    try:
        values = _READER.decode(row.data)
    except (ValueError, RecursionError):
        return None
    return values if isinstance(values, dict) else None


def _refuse(number: str) -> Any:
    raise ValueError(f"no entry holds {number}")


_READER = json.JSONDecoder(parse_float=_refuse, parse_constant=_refuse)


def day_of(now_ms: int) -> str:
    """Return the local day (``YYYY-MM-DD``) of ``now_ms``, in milliseconds since the epoch."""
    return datetime.fromtimestamp(now_ms / 1000).astimezone().date().isoformat()


def next_name(day: str, taken: Iterable[str]) -> str:
    """Return a name for a new job: the day (``YYYY-MM-DD``) and a running number."""
    ends = [name.removeprefix(f"{day}-") for name in taken if name.startswith(f"{day}-")]
    return f"{day}-{max((int(end) for end in ends if end.isdecimal()), default=0) + 1}"


def pick(name: str, newest_first: Sequence[str]) -> str:
    """Return the job that ``name`` means: itself, ``last``, or the only one that ends (``2``) or begins with it.

    Raises:
        UnknownJob: none does, or several do.
    """
    if name in newest_first:
        return name
    if not newest_first:
        raise UnknownJob("There is no job in the journal yet; start one with: assistant run PROCEDURE")
    if name == "last":
        return newest_first[0]
    end = f"-{name.lstrip('-')}"
    near = [job for job in newest_first if job.endswith(end)] or [job for job in newest_first if job.startswith(name)]
    if len(near) == 1:
        return near[0]
    if near:
        raise UnknownJob(f'"{name}" fits several jobs ({", ".join(near[:4])}); give the whole name.')
    raise UnknownJob(f'There is no job "{name}"; see the names with: assistant jobs')
