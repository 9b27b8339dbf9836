"""Adds one entry to a job that no bay holds: what is written down after the work, or beside it."""

from __future__ import annotations

import time

from assistant.bay.job import journal_path
from assistant.events import Record
from assistant.journal.sqlite import SqliteJournal
from assistant.terminal.exits import Exit


def add_entry(job: str, record: Record, done: str) -> Exit:
    """Append one entry to ``job``, open or closed, and print ``done``; nothing that was written before changes.

    Raises:
        JournalFault: there is no such job, another process holds it, it is damaged, or the disk is full.
    """
    SqliteJournal(journal_path(), read_only=True).close()  # a journal that is not there must not be made
    journal = SqliteJournal(journal_path())
    try:
        held = journal.open_job(job)
        try:
            last = held.entries()[-1].at_ms
            new = held.append([record], max(last, round(time.time() * 1000)))
            print(f"{done} It is entry {new[0].seq} of job {held.id}.")
        finally:
            held.close()
    finally:
        journal.close()
    return Exit.OK


def clean(text: str) -> str:
    """Return a text of the command line as UTF-8 can keep it: bytes that are none become question marks."""
    return text.encode("utf-8", "replace").decode("utf-8")
