"""The port of the journal: what every store must do. There is no verb to change or remove an entry."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any, NamedTuple, Protocol

from assistant.facts import Fact, Unreadable, read
from assistant.facts.inputs import Opened


class JournalFault(Exception):
    """The journal cannot do what was asked; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class JobBusy(JournalFault):
    """Somebody else works on the job."""


class UnknownJob(JournalFault):
    """There is no such job, or the name fits several."""


class Damaged(JournalFault):
    """The store is broken; what is readable can be read, nothing can be written."""


@dataclass(frozen=True)
class Entry:
    """One entry of a job.

    ``seq`` counts from 1; ``at_ms`` is in milliseconds since the epoch (UTC). ``data`` are the fields as they are
    stored, for whoever shows just that: all others take the ``fact``. ``version`` is that of the kind's fields;
    ``cause`` is the number of the input that the entry follows from, 0 for an input and for what stands for itself.
    """

    seq: int
    at_ms: int
    kind: str
    data: Mapping[str, Any]
    prev: str
    hash: str
    version: int = 1
    cause: int = 0

    @cached_property
    def fact(self) -> Fact:
        """What happened; what is no fact of this version is an :class:`assistant.facts.Unreadable`."""
        return read(self.kind, self.version, self.data)


def opened_of(entry: Entry) -> Opened:
    """Return the first fact of a job, of its first ``entry``.

    Raises:
        JournalFault: it is none of this version.
    """
    if isinstance(entry.fact, Opened):
        return entry.fact
    why = entry.fact.why if isinstance(entry.fact, Unreadable) else f"it begins with {entry.kind}"
    raise JournalFault(f"The job cannot be used by this version of the assistant ({why}); see it with: assistant show")


class JobState(StrEnum):
    """How a job stands; ``DAMAGED`` when it cannot be read to its end."""

    OPEN = "open"
    PAUSED = "paused"
    CLOSED = "closed"
    DAMAGED = "damaged"


@dataclass(frozen=True, slots=True)
class JobInfo:
    """One line in the list of jobs; times in milliseconds since the epoch."""

    id: str
    title: str
    procedure_id: str
    opened_at_ms: int
    last_at_ms: int
    state: JobState
    entries: int
    rehearsal: bool = False
    bay: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a chain holds. ``head`` is the hash of the last good entry; ``sentence`` says what was found."""

    good: bool
    entries: int
    head: str
    sentence: str


class Judged(NamedTuple):
    """The entries of a job that can be trusted, from its first on, and what was found at their end."""

    entries: list[Entry]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Lease:
    """Who holds a job for writing, and until when.

    ``token`` tells this holding of the job from any other, ``bay``, ``host`` and ``pid`` say who it is; ``until_ms`` is
    in milliseconds since the epoch, on the clock of the job. :mod:`assistant.journal.leasing` has the rules.
    """

    token: str
    bay: str
    host: str
    pid: int
    until_ms: int


class JobHandle(Protocol):
    """One job, held for writing by its lease."""

    @property
    def id(self) -> str:
        """The job's name, for example ``bay1-2026-11-26-3``."""

    def append(self, facts: Sequence[Fact], now_ms: int) -> list[Entry]:
        """Keep all ``facts`` in one transaction; when this returns they are on disk. The lease is renewed by it.

        The first of them is the input, the following ones name it as their cause, but for those that stand for
        themselves. ``now_ms`` is in milliseconds since the epoch, on the clock of the job.

        Raises:
            JournalFault: they could not be kept; none of them was, and the handle can be used again.
            JobBusy: another one has the job by now, or wrote into it since it was last read by this handle.
            TypeError: one of them holds a value that the journal cannot keep exactly.
        """

    def entries(self) -> list[Entry]:
        """Return all entries, in order.

        Raises:
            JournalFault: they cannot all be read; a state built from fewer would be behind what was confirmed.
        """

    def renew(self, now_ms: int) -> None:
        """Keep the lease through a silence; cheap: it is written only when half of it is over.

        Raises:
            JobBusy: another one has the job by now.
            JournalFault: it could not be written.
        """

    def close(self) -> None:
        """Let the job go; another one may take it. Harmless when that was done before."""


class ReadsMany(Protocol):
    """What tells of many jobs at once; a journal does, and so does what is kept of one."""

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is a fact of one of ``classes``, with the name of its job, job by job and in order."""

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first."""


class Journal(Protocol):
    """All jobs of one bay. A job is asked for by its name, by ``last``, or by an end or a beginning of its name.

    Every verb that takes a name raises ``UnknownJob`` when no job fits it, or several do.
    """

    def create(self, facts: Sequence[Fact], now_ms: int) -> JobHandle:
        """Open a new job with its first facts (at least one) and hold it; the first is the cause of the others.

        Raises:
            JournalFault: it could not be kept; there is no new job then.
        """

    def hold(self, name: str, now_ms: int) -> JobHandle:
        """Hold a job that exists.

        Raises:
            JobBusy: somebody else holds it.
            Damaged: its chain is broken; it can be read, not written.
        """

    def lease(self, name: str) -> Lease | None:
        """Return who holds a job; None when nobody does, or when its holder is known to be gone."""

    def resolve(self, name: str) -> str:
        """Return the whole name of the job that ``name`` means."""

    def read(self, name: str) -> Judged:
        """Return the entries of a job and whether they fit; of a damaged one, those before the damage."""

    def first(self, name: str) -> Entry:
        """Return the first entry of a job, without reading the others.

        Raises:
            Damaged: it does not fit or cannot be read.
        """

    def follow(self, name: str, after: int) -> list[Entry]:
        """Return the entries of a job behind the entry number ``after`` (0: all), at once; [] when there is none yet.

        Call it again with the number of the last one to get what came meanwhile.

        Raises:
            Damaged: what is there does not go on from entry ``after``, or cannot be read.
        """

    def find(self, classes: Collection[type[Fact]]) -> Iterator[tuple[str, Entry]]:
        """Yield every entry that is a fact of one of ``classes``, with the name of its job, job by job and in order.

        The chains are not checked; entries that cannot be read are passed over.
        """

    def scan(self) -> Iterator[JobInfo]:
        """Yield a line about each job, newest first; a job is looked at when its line is wanted."""

    def verify(self, name: str) -> Verdict:
        """Check the chain of a job and the store that it is in; the first entry that does not fit is named."""

    def forget(self, name: str, now_ms: int) -> int:
        """Remove the personal data of a closed job and return how many entries had any; 0 changes nothing.

        The chain stays as it was, and an entry that says so is appended.

        Raises:
            JournalFault: the job is open, busy or damaged, or there is no room; nothing was removed then.
        """

    def close(self) -> None:
        """Let every job go that is held by way of this journal, and free the store."""
