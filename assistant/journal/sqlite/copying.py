"""A copy of the whole journal while jobs are at work, by SQLite's online backup; and whether a file is whole."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable
from pathlib import Path

from assistant.files import private_file
from assistant.journal.sqlite.faults import BROKEN_FILE, damaged, explain
from assistant.journal.sqlite.file import damage_of, open_to_read

_PIECE = 256
"""So many pages are copied before whoever waits to write may go first: a few milliseconds."""


def copy_of_file(path: Path, target: Path, tell: Callable[[int], None]) -> None:
    """Write the journal at ``path``, as it is at one moment, to ``target``, which must not be there.

    What is written meanwhile by another process begins the copy anew, so it is never half of an answer; a job at work
    waits for one piece at most. Who holds a job is left out of the copy: nobody does there. ``tell`` gets the pages
    that are left, piece by piece.

    Raises:
        JournalFault: the journal cannot be read, or is damaged (``Damaged``).
        OSError: ``target`` cannot be written.
    """
    private_file(target)
    source, damage = open_to_read(path)
    with contextlib.closing(source):
        if damage:
            raise damaged(path, damage)
        with contextlib.closing(sqlite3.connect(target, isolation_level=None)) as copy:
            try:
                source.backup(copy, pages=_PIECE, progress=lambda _status, left, _count: tell(left))
                copy.execute("PRAGMA journal_mode = DELETE")
                copy.execute("DELETE FROM lease")
                copy.execute("VACUUM")
            except BROKEN_FILE as fault:
                if getattr(fault, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL:
                    raise OSError(28, "No space left on device", str(target)) from fault
                raise explain(fault, path) from fault


def damage_at(path: Path) -> str:
    """Return what does not fit in the pages, trees and references of the journal at ``path``; "" when all does.

    Raises:
        JournalFault: it cannot be read, or is none of ours.
    """
    source, damage = open_to_read(path)
    with contextlib.closing(source):
        return damage or damage_of(source)
