"""What the journal of a bay tells of the photos of a job, and the way of one from the central store into its folder."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.clock import steady
from assistant.facts.bay import Forgotten
from assistant.facts.photos import PhotoDropped, PhotoTaken
from assistant.journal.copies import StoredJobs
from assistant.journal.port import Entry, JournalFault
from assistant.pictures.store import PhotoStore, photos_that_count, store_of
from assistant.workshop.photo_store import photos_there, stored_photo, takes_photos

WAITS_FOR_PHOTOS_S = 2.0
"""So long [s] a job that is brought here waits for its photos; the others come while it goes on."""


@dataclass(slots=True)
class JobPhotos:
    """The photos of ``job`` as the entries tell that were read so far."""

    job: str
    _entries: list[Entry] = field(default_factory=list)
    _read: int = 0

    def read_on(self, jobs: StoredJobs, ended: int = 0) -> bool:
        """Read the entries that came since; return whether any is about photos. The job has ``ended`` at least.

        Raises:
            JournalFault: the journal cannot be read.
        """
        last = self._entries[-1].seq if self._entries else 0
        found = jobs.entries_of(self.job, max(last, self._read), (PhotoTaken, PhotoDropped, Forgotten))
        self._read = max(self._read, ended)
        self._entries += found
        return bool(found)

    @property
    def is_forgotten(self) -> bool:
        """Whether the job was forgotten."""
        return any(isinstance(entry.fact, Forgotten) for entry in self._entries)

    @property
    def numbers(self) -> dict[str, int]:
        """The hashes of the photos that count, each with the number by which people call it."""
        if self.is_forgotten:
            return {}
        counted = photos_that_count(entry.fact for entry in self._entries)
        return {one.sha256: number for number, one in sorted(counted.items(), reverse=True)}

    def named_at(self, name: str) -> int:
        """Return the number of the last entry that names the photo with the hash ``name``."""
        return max(one.seq for one in self._entries if isinstance(fact := one.fact, PhotoTaken) and fact.sha256 == name)


def fetch_photo(link: CentralLink, jobs: StoredJobs, store: PhotoStore, job: str, name: str) -> bool:
    """Put the photo of ``job`` with the hash ``name`` into ``store``, whole or not at all; return whether it is there.

    What was dropped or forgotten meanwhile does not stay: that is looked up once more behind it, and whoever drops or
    forgets writes so down before the file goes.

    Raises:
        CentralFault: the central store cannot be reached.
        JournalFault: the journal of the bay, which ``jobs`` reads, cannot be read.
        OSError: it cannot be kept.
    """
    data = stored_photo(link, job, name)
    if data is None:
        return False
    store.put(data)
    now = JobPhotos(job)
    now.read_on(jobs)
    if now.is_forgotten:
        store.forget()
    elif name not in now.numbers:
        store.drop(name)
    return True


def bring_photos(link: CentralLink, folder: Path, job: str, clock: Callable[[], float] = steady) -> None:
    """Fetch the photos of ``job``, which has just come into the data folder ``folder``, as far as they are there.

    What cannot be had now is no fault: the line of the bay fetches it, and tells what is missing.
    """
    until = clock() + WAITS_FOR_PHOTOS_S
    with contextlib.suppress(CentralFault, JournalFault, OSError), contextlib.closing(StoredJobs(folder)) as jobs:
        told, store = JobPhotos(job), store_of(job, folder)
        told.read_on(jobs)
        lacks = [name for name in told.numbers if not store.has(name)]
        there = photos_there(link, [job]) if lacks and takes_photos(link) else {}
        for name in lacks:
            if name in there.get(job, ()) and clock() < until:
                fetch_photo(link, jobs, store, job, name)
