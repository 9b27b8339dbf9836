"""What the pages of the office show beyond those of a desk; where it comes from is the office's to know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from assistant.display.desk import Desk


@dataclass(frozen=True, slots=True)
class Hit:
    """One place that a search found: job, bay, title of the job, step, what it is, when [ms], and what was written.

    ``parts`` are pieces of that, each with whether it is what was searched for.
    """

    job: str
    bay: str
    title: str
    step: str
    what: str
    at_ms: int
    parts: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Hits:
    """The newest places that a search found, and how many there are."""

    hits: tuple[Hit, ...] = ()
    total: int = 0


@dataclass(frozen=True, slots=True)
class ToolRow:
    """One tool: clicks in all, those since its calibration (None: it has none), passes, jobs, and its last use.

    ``due_on`` is the day of its next calibration ("": not known), ``due_now`` why it is due now. ``known``: a bay's
    tool file has it.
    """

    name: str
    serial: str
    bays: tuple[str, ...]
    clicks: int
    since: int | None
    passes: int
    jobs: int
    last_ms: int
    last_bay: str
    last_job: str
    due_on: str
    due_now: str
    known: bool


@dataclass(frozen=True, slots=True)
class BayMember:
    """A bay or the office of the workshop, which may log in to the central store: since when, and what it sent last."""

    bay: str
    role: str
    since: str
    jobs: int
    last_ms: int


@dataclass(frozen=True, slots=True)
class LibraryRow:
    """One revision in the workshop's library: who published and approved it, for whom, and why it was withdrawn."""

    kind: str
    name: str
    title: str
    revision: str
    approved: str
    by: str
    at_ms: int
    bays: tuple[str, ...]
    withdrawn: str


class Office(Desk, Protocol):
    """Answers for the pages of the office; as those of a desk, each on a thread of its own."""

    @property
    def trouble(self) -> str:
        """Why what is shown may be old, in one sentence; "" while all is well."""

    def is_current(self, job: str) -> bool:
        """Return whether ``job`` is open, or went on today."""

    def library(self) -> Sequence[LibraryRow]:
        """Return what is published in the workshop's library, the newest first."""

    def members(self) -> Sequence[BayMember]:
        """Return who may log in to the central store."""

    def calendar(self) -> bytes:
        """Return a calendar file (RFC 5545) of what is due again."""

    def tools(self) -> Sequence[ToolRow]:
        """Return the tools of all bays."""

    def export(self, what: str, form: str) -> bytes:
        """Return the table ``what`` (jobs, tightenings, findings) as a file, csv or parquet."""

    def search(self, words: str) -> Hits:
        """Return the newest places in which ``words`` are found."""
