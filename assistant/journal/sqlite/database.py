"""The open file of the journal: one moment seen as a whole, one change kept as a whole, every complaint explained."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from assistant.journal.sqlite.faults import BROKEN_FILE, explain, misplaced
from assistant.journal.sqlite.file import damage_of, open_to_read, open_to_write


class Database:
    """The file at ``path``; ``link`` is the connection to it."""

    def __init__(self, path: Path, *, read_only: bool) -> None:
        """Open it; unless ``read_only``, make it (and its folder) when it is not there.

        Raises:
            JournalFault: it cannot be opened; the sentence says why and what to do.
        """
        self.path = path
        self._damage = ""
        if read_only:
            self.link, self._damage = open_to_read(path)
        else:
            self.link = open_to_write(path)
        self._file = self._stamp()

    @contextlib.contextmanager
    def explained(self) -> Iterator[sqlite3.Connection]:
        """Give the connection; what SQLite complains about becomes a ``JournalFault``."""
        try:
            yield self.link
        except BROKEN_FILE as fault:
            raise explain(fault, self.path) from fault

    @contextlib.contextmanager
    def snapshot(self) -> Iterator[sqlite3.Connection]:
        """See the file as it is at one moment, while another process may write."""
        if self.link.in_transaction:
            yield self.link
            return
        with contextlib.suppress(*BROKEN_FILE):  # a damaged file may refuse; it is read as far as it goes
            self.link.execute("BEGIN")
        try:
            yield self.link
        finally:
            with contextlib.suppress(sqlite3.Error):
                if self.link.in_transaction:
                    self.link.execute("ROLLBACK")

    @contextlib.contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """Keep all that is done in it, or nothing; what is kept is on disk at its end."""
        try:
            with self.explained():
                self.link.execute("BEGIN IMMEDIATE")
                yield self.link
                self.link.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(sqlite3.Error):
                if self.link.in_transaction:
                    self.link.execute("ROLLBACK")
            raise

    def damage(self) -> str:
        """Return what is wrong with the file itself; "" when nothing is."""
        return self._damage or damage_of(self.link)

    def check_place(self) -> None:
        """Raise when what is written would go into a file that nobody finds again.

        Raises:
            JournalFault: the file was moved, removed or replaced.
        """
        if self._stamp() != self._file:
            raise misplaced(self.path)

    def close(self) -> None:
        """Free the file."""
        self.link.close()

    def _stamp(self) -> tuple[int, int] | None:
        """Return what tells the file at our path from another one; None when there is none."""
        try:
            about = self.path.stat()
        except OSError:
            return None
        return about.st_dev, about.st_ino
