"""Reads the job that a paper about money is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JournalFault
from assistant.procedure.model import Procedure
from assistant.report.record.build import opening_of, procedure_of
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


@dataclass(frozen=True, slots=True)
class JobRead:
    """A job: its name, its entries, and its own copy of the procedure."""

    name: str
    entries: Sequence[Entry]
    procedure: Procedure


def job_of(name: str) -> JobRead:
    """Return the job that ``name`` means.

    Raises:
        JournalFault: it does not fit its chain: no sum is made of a journal that was changed.
        Refusal: its procedure cannot be read by this version.
    """
    with open_journal(home(), read_only=True) as journal:
        whole = journal.resolve(name)
        verdict = journal.verify(whole)
        if not verdict.good:
            raise JournalFault(verdict.sentence)
        entries = journal.read(whole).entries
    procedure = procedure_of(opening_of(entries))
    if procedure is None:
        raise Refusal(
            f"The procedure of job {whole} cannot be read by this version, so nothing is worked out for it.",
            Exit.PROCEDURE,
        )
    return JobRead(whole, entries, procedure)
