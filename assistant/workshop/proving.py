"""Proves a job in the central store: its chain there, and that it is the one of the bay's own journal."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.journal.chain import Stored
from assistant.journal.names import pick
from assistant.journal.opening import open_journal
from assistant.journal.personal import Kept
from assistant.journal.port import Entry, Judged
from assistant.journal.reading import KeptJob, judged

_ENTRIES = (
    "SELECT seq, at_ms, kind, version, cause, data, encode(prev, 'hex'), encode(hash, 'hex') FROM shop.entry"
    " WHERE workshop = %s AND month = %s AND job = %s ORDER BY seq"
)
_SAID = "SELECT seq, key, salt, value FROM shop.personal WHERE workshop = %s AND month = %s AND job = %s"
_JOB = "SELECT month, seq, encode(hash, 'hex') FROM shop.job WHERE workshop = %s AND name = %s"
_NAMES = "SELECT name FROM shop.job WHERE workshop = %s ORDER BY opened_ms DESC, number DESC"


def resolved(link: CentralLink, workshop: str, name: str) -> str:
    """Return the whole name of the job of ``workshop`` that ``name`` means.

    Raises:
        UnknownJob: none fits, or several do.
    """
    if link.one(_JOB, (workshop, name)) is not None:
        return name
    return pick(name, [str(row[0]) for row in link.ask(_NAMES, (workshop,))])


def proved(link: CentralLink, workshop: str, job: str) -> Judged:
    """Return the entries of ``job`` (its whole name) that the store has, and whether they fit, all at one moment."""
    with link.transaction():
        link.ask("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        found = link.one(_JOB, (workshop, job))
        asked = (workshop, found[0] if found else None, job)
        rows = [Stored(*row) for row in link.ask(_ENTRIES, asked)]
        said = [Kept(*row) for row in link.ask(_SAID, asked)]
    return judged(job, KeptJob(rows=rows, said=said, end=(found[1], found[2]) if found else None))


def compared_with(job: str, entries: Sequence[Entry], folder: Path) -> tuple[bool, str]:
    """Return whether ``entries``, those of ``job`` in the store, are those in the data folder ``folder`` of a bay.

    The second is a sentence that says so, or where they differ.

    Raises:
        JournalFault: there is no journal, no such job in it, or it cannot be read.
    """
    with open_journal(folder, read_only=True) as journal:
        there, verdict = journal.read(job)
    if not verdict.good:
        return False, f"The copy in {folder} is not whole: {verdict.sentence}"
    for seq, (mine, theirs) in enumerate(zip_longest(entries, there), 1):
        if mine is None:
            return False, f"{_rest(len(there) - seq + 1, job)} in {folder}, and not in the store yet."
        if theirs is None:
            return False, f"{_rest(len(entries) - seq + 1, job)} in the store, and not in {folder}."
        if mine.hash != theirs.hash:
            return False, f"Entry {seq} of job {job} is another one in {folder} than in the store: two histories of it."
        if mine.data != theirs.data:
            return (
                False,
                f"What was said in entry {seq} of job {job} is removed in one of the two, and not in the other.",
            )
    return True, f"The copy in {folder} is the same, entry by entry."


def _rest(count: int, job: str) -> str:
    return f"One entry of job {job} is" if count == 1 else f"{count} entries of job {job} are"
