"""Adds one entry to a job that no bay holds: what is written down after the work, or beside it."""

from __future__ import annotations

import time

from assistant.facts import Fact
from assistant.journal.opening import open_journal
from assistant.settings import home
from assistant.terminal.exits import Exit


def add_entry(job: str, fact: Fact, done: str) -> Exit:
    """Append one entry to ``job``, open or closed, and print ``done``; nothing that was written before changes.

    Raises:
        JournalFault: there is no such job, another process holds it, it is damaged, or the disk is full.
    """
    with open_journal(home(), make=False) as journal:
        now_ms = round(time.time() * 1000)
        held = journal.hold(job, now_ms)
        last = held.entries()[-1].at_ms
        new = held.append([fact], max(last, now_ms))
        print(f"{done} It is entry {new[0].seq} of job {held.id}.")
    return Exit.OK


def clean(text: str) -> str:
    """Return a text of the command line as UTF-8 can keep it: bytes that are none become question marks."""
    return text.encode("utf-8", "replace").decode("utf-8")
