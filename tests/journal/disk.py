"""What tests do to the file of a journal from outside: damage it, fill its disk, or spare the waiting for one."""

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from assistant.journal.port import Journal


def unsynced(journal: Journal) -> None:
    """Let ``journal`` not wait for its disk: no power is pulled here, and the file comes out the same."""
    journal._db.link.execute("PRAGMA synchronous = OFF")


def fill(journal: Journal, pages: int | None = None) -> None:
    """Let the disk of ``journal`` be full when the file has so many pages, or those that it has now."""
    link = journal._db.link
    most = pages or link.execute("PRAGMA page_count").fetchone()[0]
    link.execute(f"PRAGMA max_page_count = {most}")


@contextlib.contextmanager
def unguarded(path: Path) -> Iterator[sqlite3.Connection]:
    """Give the file at ``path`` without its guards, as somebody has it who has the rights to; what is done is kept."""
    with contextlib.closing(sqlite3.connect(path)) as db:
        for (name,) in db.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            db.execute(f"DROP TRIGGER {name}")
        yield db
        db.commit()


def tamper(path: Path, *statements: str) -> int:
    """Do ``statements`` to the file at ``path``, guards first; return how many rows they changed."""
    with unguarded(path) as db:
        for statement in statements:
            db.execute(statement)
        return db.total_changes


def rows(path: Path, question: str, *values: object) -> list[tuple]:
    """Return what the file at ``path`` answers to an SQL question."""
    with contextlib.closing(sqlite3.connect(path)) as db:
        return db.execute(question, values).fetchall()
