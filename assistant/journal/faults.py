"""Turns what SQLite and the operating system complain about into one sentence that says what to do next."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from assistant.journal.port import Damaged, JournalFault


def explain(fault: OSError | sqlite3.Error, path: Path) -> JournalFault:
    """Return the fault of the journal at ``path`` that stands for ``fault``."""
    code = getattr(fault, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL or getattr(fault, "errno", 0) == 28:
        return JournalFault(
            f"The disk of the journal {path} is full, so the last thing was not kept; everything before it is. "
            f"Free some space, then say it again."
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM) or isinstance(fault, PermissionError):
        return JournalFault(
            f"The journal {path} cannot be written; give yourself write access to it and to its folder."
        )
    if getattr(fault, "errno", 0) == 30:
        return JournalFault(
            f"The journal {path} lies on a read-only disk; set ASSISTANT_HOME to a folder you can write."
        )
    if code == sqlite3.SQLITE_CANTOPEN or isinstance(fault, OSError):
        return JournalFault(
            f"The journal {path} cannot be opened ({fault}); check that its folder is there and "
            "that you may write in it, or set ASSISTANT_HOME to another folder."
        )
    if code == sqlite3.SQLITE_NOTADB:
        return Damaged(
            f"{path} is not a journal of the assistant, or its first page is damaged; nothing was written to it."
        )
    if code == sqlite3.SQLITE_CORRUPT:
        return Damaged(
            f"The journal {path} is damaged ({fault}); nothing was written to it. "
            "See what is readable with: assistant jobs"
        )
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return JournalFault(f"The journal {path} is locked by another program; close that program, then say it again.")
    if code == sqlite3.SQLITE_IOERR:
        return JournalFault(
            f"The disk of the journal {path} does not answer ({fault}); the last thing was not kept. "
            "Check the disk, then say it again."
        )
    return JournalFault(f"The journal {path} failed ({fault}); the last thing was not kept. Say it again.")
