"""Turns what SQLite and the operating system complain about into one sentence that says what to do next."""

from __future__ import annotations

import errno
import os
import sqlite3
from pathlib import Path

from assistant.journal.port import Damaged, JournalFault

BROKEN_FILE = (sqlite3.Error, UnicodeDecodeError)
"""What reading a damaged file raises; the second when even SQLite's complaint has broken letters of the file in it."""
_ELSEWHERE = "or set ASSISTANT_HOME to another folder"


def explain(fault: OSError | sqlite3.Error | UnicodeDecodeError, path: Path) -> JournalFault:
    """Return the fault of the journal at ``path`` that stands for ``fault``."""
    if isinstance(fault, UnicodeDecodeError):
        return damaged(path, "a text in it has broken letters")
    code = getattr(fault, "sqlite_errorcode", 0) & 0xFF
    number = getattr(fault, "errno", 0)
    if code == sqlite3.SQLITE_FULL or number in (errno.ENOSPC, errno.EDQUOT):
        return JournalFault(
            f"The disk of the journal {path} is full, so the last thing was not kept; everything before it is. "
            "Free some space, then say it again."
        )
    if os.access(path, os.F_OK) and not os.access(path, os.R_OK):
        return JournalFault(
            f"The journal {path} may not be read by you; give yourself the right to read and write it, {_ELSEWHERE}."
        )
    if number == errno.EROFS:
        return JournalFault(f"The journal {path} lies on a read-only disk; make the disk writable {_ELSEWHERE}.")
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM) or number in (errno.EACCES, errno.EPERM):
        return JournalFault(
            f"The journal {path} may not be written by you; give yourself write access to it and to its folder, "
            f"{_ELSEWHERE}."
        )
    if code == sqlite3.SQLITE_CANTOPEN or isinstance(fault, OSError):
        why = getattr(fault, "strerror", None) or fault
        return JournalFault(
            f"The journal {path} cannot be opened ({why}); check that its folder is there and that you may write in "
            f"it, {_ELSEWHERE}."
        )
    if code == sqlite3.SQLITE_NOTADB:
        return foreign(path)
    if code == sqlite3.SQLITE_CORRUPT:
        return damaged(path, str(fault))
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return JournalFault(f"The journal {path} is locked by another program; close that program, then say it again.")
    if code == sqlite3.SQLITE_IOERR:
        return JournalFault(
            f"The disk of the journal {path} does not answer ({fault}); the last thing was not kept. "
            "Check the disk, then say it again."
        )
    return JournalFault(f"The journal {path} failed ({fault}); the last thing was not kept. Say it again.")


def damaged(path: Path, how: str) -> Damaged:
    """Return the fault of a file whose pages are broken; ``how`` is what SQLite says of it."""
    return Damaged(
        f"The journal {path} is damaged ({' '.join(how.split())}), and nothing was written to it. See what can be read "
        "with: assistant jobs. To work on, move the file to a safe place; a new one is made."
    )


def foreign(path: Path) -> Damaged:
    """Return the fault of a file that does not bear our mark."""
    return Damaged(
        f"{path} is not a journal of the assistant, or its beginning is damaged; nothing was written to it. "
        f"Move it to a safe place, {_ELSEWHERE}."
    )


def other_format(path: Path, version: int, known: int) -> JournalFault:
    """Return the fault of a file of the format ``version`` where ``known`` is the one that is known here."""
    return JournalFault(
        f"The journal {path} was written by another version of the assistant (format {version}; this one knows "
        f"{known}); nothing was changed. Use the version that wrote it, or move the file to a safe place, {_ELSEWHERE}."
    )


def no_journal(path: Path) -> JournalFault:
    """Return the fault of a file that is not there."""
    return JournalFault(f"There is no journal at {path}; start a job with: assistant run PROCEDURE")


def misplaced(path: Path) -> JournalFault:
    """Return the fault of a file that is not where it was opened: what is written into it, nobody finds again."""
    return JournalFault(
        f"The journal {path} was moved, removed or replaced while the program runs; nothing more is written. Put it "
        "back where it was, or end the program."
    )
