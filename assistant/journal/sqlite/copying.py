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

_MOST_ANEW = 50
"""So often a copy begins anew because something was written meanwhile; then writers wait for it."""


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
                _copied(source, copy, tell)
                copy.execute("PRAGMA journal_mode = DELETE")
                copy.execute("DELETE FROM lease")
            except BROKEN_FILE as fault:
                if getattr(fault, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL:
                    raise OSError(28, "No space left on device", str(target)) from fault
                raise explain(fault, path) from fault


def _copied(source: sqlite3.Connection, copy: sqlite3.Connection, tell: Callable[[int], None]) -> None:
    """Copy all pages; when it had to begin anew too often, at one go, for which writers wait."""
    before, anew = 0, 0

    def progress(_status: int, left: int, _count: int) -> None:
        nonlocal before, anew
        anew += left > before > 0
        before = left
        if anew > _MOST_ANEW:
            raise _TooRestless
        tell(left)

    try:
        source.backup(copy, pages=_PIECE, progress=progress)
    except _TooRestless:
        source.backup(copy)


class _TooRestless(Exception):
    """The file is written to all the time."""


def damage_at(path: Path) -> str:
    """Return what does not fit in the pages, trees and references of the journal at ``path``; "" when all does.

    Raises:
        JournalFault: it cannot be read, or is none of ours.
    """
    source, damage = open_to_read(path)
    with contextlib.closing(source):
        return damage or damage_of(source)
