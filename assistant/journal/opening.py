"""Opens the journal of a bay: the one place that knows which store it is in. Whoever opens it, closes it."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.central.place import CentralPlace
from assistant.journal.memory import MemoryJournal
from assistant.journal.names import BAY
from assistant.journal.port import Journal
from assistant.journal.postgres.store import PostgresJournal
from assistant.journal.sqlite.copying import copy_of_file, damage_at
from assistant.journal.sqlite.faults import explain, no_journal
from assistant.journal.sqlite.store import SqliteJournal


@contextlib.contextmanager
def open_journal(
    folder: Path | None, *, bay: str = BAY, read_only: bool = False, make: bool = True
) -> Iterator[Journal]:
    """Give the journal in the data folder ``folder``; at the end, let go all that is held by way of it, and close it.

    Without a folder it is in memory: it begins empty, and is gone at the end. ``bay`` names the jobs that are opened.
    A journal that is not there is made, unless ``read_only`` or not ``make``.

    Raises:
        JournalFault: it is not there, cannot be opened, is not ours or is damaged; nothing was changed.
    """
    journal: Journal
    if folder is None:
        journal = MemoryJournal(bay=bay)
    else:
        if not make and not journal_is_there(folder):
            raise no_journal(journal_path(folder))
        journal = SqliteJournal(journal_path(folder), read_only=read_only, bay=bay)
    with contextlib.closing(journal):
        yield journal


@contextlib.contextmanager
def open_central(place: CentralPlace) -> Iterator[Journal]:
    """Give the journal of a whole workshop in the central store at ``place``, for one thread; close it at the end.

    Raises:
        JournalFault: the store cannot be reached, or does not know the login.
    """
    with contextlib.closing(PostgresJournal(place)) as journal:
        yield journal


def journal_path(folder: Path) -> Path:
    """Return where the journal lies in the data folder ``folder``, for a person to find it."""
    return folder / "journal.sqlite"


def journal_is_there(folder: Path) -> bool:
    """Return whether there is a journal in the data folder ``folder``.

    Raises:
        JournalFault: the folder is a file, or may not be looked into.
    """
    path = journal_path(folder)
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except OSError as fault:
        raise explain(fault, path) from fault
    return True


def copy_journal(folder: Path, target: Path, tell: Callable[[int], None] = lambda _left: None) -> None:
    """Write the journal in the data folder ``folder`` to ``target`` as it is at one moment, while jobs are at work.

    Raises:
        JournalFault: there is none, it cannot be read, or is damaged.
        OSError: ``target`` cannot be written.
    """
    copy_of_file(journal_path(folder), target, tell)


def journal_damage(folder: Path) -> str:
    """Return what is wrong with the file of the journal in the data folder ``folder``; "" when nothing is.

    Raises:
        JournalFault: there is none, or it cannot be read.
    """
    return damage_at(journal_path(folder))
