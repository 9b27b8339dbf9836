"""Brings a bay's copy of the library up to date. What fails leaves the copy as it was, and the bay works from it."""

from __future__ import annotations

import contextlib
import fcntl
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.faults import quoted
from assistant.files import private_folder, replace_private
from assistant.workshop.library import KINDS_TOLD, LibraryItem, LibraryKind, item_fault, newest
from assistant.workshop.library_copy import INDEX, NOW, LocalLibrary, has_hash, index_bytes
from assistant.workshop.library_store import library_items, published_content

_LOCK = "lock"
_IN_NOW = (LibraryKind.TOOLS, LibraryKind.PRICES, LibraryKind.WORDINGS)


@dataclass(frozen=True, slots=True)
class Refreshed:
    """What came of a refresh: files that were ``fetched``, and what a person should know, a sentence each.

    ``gone`` says that the store could not be reached: the link is of no use any more.
    """

    fetched: int = 0
    faults: tuple[str, ...] = ()
    gone: bool = False


def refresh_library(link: CentralLink, folder: Path) -> Refreshed:
    """Fetch into ``folder`` what is new in the library for the login of ``link``, and take up what was withdrawn.

    Call it when a bay begins, every minute, and when :func:`~assistant.workshop.library_store.library_channel` tells of
    a change; from any thread, with a link of that thread. Nothing is raised for what a store, a network or a disk does:
    the copy stays as it was, or is newer in part, and each file in it is one that was published, whole. Where nothing
    changed, one query is asked, and nothing is written but the time of the index.
    """
    try:
        private_folder(folder, ours=True)
        with _alone(folder) as mine:
            if not mine:
                return Refreshed(faults=("Another program brings the library up to date just now.",))
            return _Refresh(link, folder).run()
    except CentralFault as fault:
        return Refreshed(faults=(fault.sentence,), gone=fault.gone or not link.is_open)
    except OSError as fault:
        return Refreshed(faults=(f"The library in {folder} cannot be written ({fault.strerror}); free some space.",))


class _Refresh:
    """One refresh."""

    def __init__(self, link: CentralLink, folder: Path) -> None:
        self._link, self._folder = link, folder
        self._copy = LocalLibrary(folder)
        self._fetched = 0
        self._faults: list[str] = []
        self._gone = False

    def run(self) -> Refreshed:
        workshop = self._link.place.login.partition(".")[0]
        ours = self._copy.workshop == workshop
        before = {(one.kind, one.id, one.revision): one for one in self._copy.items if ours}
        kept = dict(before)
        listed = library_items(self._link)
        for item in sorted(listed, key=lambda one: (one.kind is not LibraryKind.PICTURE, one.number)):
            key = item.kind, item.id, item.revision
            if why := self._wrong(item, before.get(key)):
                self._faults.append(f"{_told(item)} is not taken: {why}.")
            elif item.withdrawn is not None or self._have(item):
                kept[key] = item
        items = sorted(kept.values(), key=lambda one: one.number)
        if not ours or items != sorted(before.values(), key=lambda one: one.number):
            replace_private(self._folder / INDEX, index_bytes(workshop, items))
        elif not self._gone:
            os.utime(self._folder / INDEX)
        self._put_now(items)
        return Refreshed(self._fetched, tuple(self._faults), self._gone)

    def _wrong(self, item: LibraryItem, before: LibraryItem | None) -> str:
        if before is not None and (before.sha256, before.shows) != (item.sha256, item.shows):
            return "it is another one than the bay has under the same revision, and the bay keeps its own"
        return item_fault(item)

    def _have(self, item: LibraryItem) -> bool:
        """Return whether the file of ``item`` and its pictures are here, once it was tried to fetch them."""
        if self._copy.is_whole(item):
            return True
        if self._gone:
            return False
        try:
            self._fetch(item)
        except CentralFault as fault:
            self._gone = self._gone or fault.gone or not self._link.is_open
            self._faults.append(fault.sentence)
            return False
        whole = self._copy.is_whole(item)
        if not whole:
            self._faults.append(f"{_told(item)} is not taken: not all of its pictures are as they were published.")
        return whole

    def _fetch(self, item: LibraryItem) -> None:
        path = self._copy.path(item)
        if not self._copy.is_whole(replace(item, shows=())):
            data = published_content(self._link, item)
            if len(data) > item.kind.most_bytes or sha256(data).hexdigest() != item.sha256:
                raise CentralFault(f"{_told(item)} is not taken: its content is not what its hash says.")
            self._put(path, data)
        for name, wanted in item.shows:
            picture = self._folder / wanted / name
            with contextlib.suppress(FileNotFoundError):  # told by whoever looks whether all is whole
                self._put(path.parent / name, picture.read_bytes())

    def _put(self, path: Path, data: bytes) -> None:
        private_folder(path.parent)
        replace_private(path, data)
        self._fetched += 1

    def _put_now(self, items: list[LibraryItem]) -> None:
        """Let ``now`` hold the newest of each id, for the settings of the bay to name; what was withdrawn goes."""
        for name, kind in {(one.id, one.kind) for one in items if one.kind in _IN_NOW}:
            item = newest(items, kind, name)
            if item is None:
                gone = next(one for one in items if (one.id, one.kind) == (name, kind))
                (self._folder / NOW / gone.file).unlink(missing_ok=True)
                continue
            there = self._folder / NOW / item.file
            if self._copy.is_whole(item) and not has_hash(there, item.sha256, kind.most_bytes):
                private_folder(there.parent)
                replace_private(there, self._copy.path(item).read_bytes())


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[bool]:
    """Hold the lock of the copy in ``folder``; False where another program has it."""
    handle = os.open(folder / _LOCK, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
            return
        yield True
    finally:
        os.close(handle)


def _told(item: LibraryItem) -> str:
    return f"Revision {quoted(item.revision)} of the {KINDS_TOLD[item.kind]} {quoted(item.id)} in the library"
