"""What the desk pages show; where it comes from is the bay's to know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.journal.port import JobInfo
from assistant.procedure.findings import Finding, Level, Waived

RECORD_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'; sandbox allow-same-origin"
)
"""Content security policy of a record, a whole document that brings its own styles: no script runs in it at all.

It keeps its origin, so that its way back counts as one of our own pages; without scripts that gives it nothing else."""


@dataclass(frozen=True, slots=True)
class ProcedureRow:
    """One procedure file: its name, the title ("" when it cannot be read), and what checking it found.

    ``library`` tells that it is the workshop's, and not the bay's own.
    """

    name: str
    title: str
    revision: str
    approved: bool
    findings: tuple[Finding, ...]
    waived: tuple[Waived, ...]
    library: bool = False

    @property
    def errors(self) -> int:
        """Return how many findings keep the file from being used."""
        return sum(finding.level is Level.ERROR for finding in self.findings)

    @property
    def warnings(self) -> int:
        """Return how many findings ask to look again."""
        return sum(finding.level is Level.WARNING for finding in self.findings)


@dataclass(frozen=True, slots=True)
class Said:
    """What is said at one place of a procedure: ``turns`` are spoken in one breath each."""

    chapter: str
    title: str
    turns: tuple[str, ...]


class DeskBusy(Exception):
    """What was asked for cannot be made now; ``sentence`` says why and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class Desk(Protocol):
    """Answers for the desk pages. Each is asked on a thread of its own and may take its time.

    Any of them may raise JournalFault or DeskBusy; its sentence is shown.
    """

    def jobs(self) -> Sequence[JobInfo]:
        """Return all jobs, newest first."""

    def record(self, job: str, form: str = "html") -> bytes:
        """Return the record of a job: a whole HTML document, escaped, without script or links to other hosts.

        With ``form`` "pdf" it is that.
        """

    def listed(self, what: str, name: str = "") -> Any:
        """Return a list over many jobs, JSON values: "due", "machines", or "machine" with its name."""

    def procedures(self) -> Sequence[ProcedureRow]:
        """Return the procedure files that can be looked at."""

    def preview(self, name: str) -> Sequence[Said]:
        """Return what the assistant says in the procedure of the file ``name``, place by place."""
