"""The files of the photos of a job: beside the journal, for their owner alone, each named by its own hash.

A file is on disk, and so is its name, before anybody is told of it. What is read is compared with its name, so that
nothing is shown that is not what was taken.
"""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Collection, Iterable
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.display.hung import Hung
from assistant.facts import Fact
from assistant.facts.photos import PhotoDropped, PhotoTaken
from assistant.files import FileFault, private_folder, read_file
from assistant.settings import home

MOST_PHOTO_FILE_BYTES = 8_000_000
"""A photo that is kept is drawn anew, and far smaller than that; the central store takes no larger one either."""
_HASH_LETTERS = 64
PHOTOS = "photos"
"""The folder of all photos in the data folder."""


@dataclass(frozen=True, slots=True)
class PhotoStore:
    """The photos of one job, in ``folder``."""

    folder: Path

    def put(self, data: bytes) -> str:
        """Keep the photo ``data``; return its hash. It is on the disk then, and nothing of it when this raises.

        Raises:
            OSError: it cannot be kept.
        """
        name = sha256(data).hexdigest()
        path, beside = self.path(name), self.folder / f".{name}.part"
        if path.exists():
            return name
        private_folder(self.folder.parent, ours=True)
        private_folder(self.folder, ours=True)
        try:
            handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o600)
            with os.fdopen(handle, "wb") as file:
                fcntl.flock(file, fcntl.LOCK_EX)  # another program may be fetching the same one
                if path.exists():
                    beside.unlink(missing_ok=True)
                    return name
                file.truncate(0)
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
                beside.replace(path)
        except OSError:
            with suppress(OSError):
                beside.unlink(missing_ok=True)
            raise
        _settle(self.folder)
        _settle(self.folder.parent)
        return name

    def has(self, name: str) -> bool:
        """Return whether the file of the photo with the hash ``name`` is there."""
        return self.path(name).exists()

    def size(self, name: str) -> int:
        """Return how large the file of the photo with the hash ``name`` is [bytes]; 0 when it is not there."""
        try:
            return self.path(name).stat().st_size
        except OSError:
            return 0

    def hung(self, name: str) -> Hung | None:
        """Return the photo with the hash ``name``; None when it is not there, or another one than was taken."""
        data = self.read(name)
        return None if isinstance(data, FileFault) else Hung(data, "image/jpeg", name)

    def read(self, name: str) -> bytes | FileFault:
        """Return the bytes of the photo with the hash ``name``, or why they cannot be had."""
        if len(name) != _HASH_LETTERS or not name.isalnum():
            return FileFault("this is no hash of a photo", "take it from the journal", missing=True)
        data = read_file(self.path(name), MOST_PHOTO_FILE_BYTES, "a photo", no_link=True)
        if not isinstance(data, FileFault) and sha256(data).hexdigest() != name:
            return FileFault(f"{self.path(name)} is another file than was taken", "see assistant verify")
        return data

    def data(self, name: str) -> bytes | None:
        """Return the bytes of the photo with the hash ``name``; None as :meth:`hung` has it."""
        hung = self.hung(name)
        return None if hung is None else hung.data

    def drop(self, name: str) -> None:
        """Remove the photo with the hash ``name``; one that cannot be removed stays, and ``verify`` tells of it."""
        with suppress(OSError):
            self.path(name).unlink(missing_ok=True)

    def path(self, name: str) -> Path:
        """Return where the photo with the hash ``name`` lies."""
        return self.folder / f"{name}.jpg"

    def wrong(self, wanted: Collection[str]) -> tuple[list[str], list[str], list[str]]:
        """Return which of the hashes ``wanted`` have no file, which have another one, and the files of no hash."""
        missing = [name for name in wanted if not self.has(name)]
        other = [name for name in wanted if name not in missing and self.hung(name) is None]
        names = sorted(path.name for path in self.folder.glob("*")) if self.folder.is_dir() else []
        return missing, other, [name for name in names if name.removesuffix(".jpg") not in wanted]

    def sweep(self, wanted: Collection[str]) -> None:
        """Remove the photos whose hashes are not ``wanted``, and halves of files: of what never came into the job."""
        for path in self.folder.glob("*") if self.folder.is_dir() else ():
            ours = path.suffix in (".jpg", ".part") and len(path.stem.removeprefix(".")) == _HASH_LETTERS
            if ours and path.stem not in wanted:
                with suppress(OSError):
                    path.unlink()

    def forget(self) -> bool:
        """Remove all photos; return whether there were any.

        Raises:
            OSError: they cannot be removed.
        """
        if not self.folder.exists():
            return False
        with suppress(FileNotFoundError):  # what sends to a central store may be forgetting the same job
            shutil.rmtree(self.folder)
        if self.folder.exists():
            shutil.rmtree(self.folder)
        return True


def store_of(job: str, folder: Path | None = None) -> PhotoStore:
    """Return where the photos of ``job`` lie: in the data folder ``folder``, or in that of this bay."""
    return PhotoStore((home() if folder is None else folder) / PHOTOS / job)


def photos_that_count(facts: Iterable[Fact]) -> dict[int, PhotoTaken]:
    """Return the photos among ``facts`` that were not dropped, by their numbers."""
    found: dict[int, PhotoTaken] = {}
    for fact in facts:
        match fact:
            case PhotoTaken():
                found[fact.number] = fact
            case PhotoDropped(number=number):
                found.pop(number, None)
    return found


def _settle(folder: Path) -> None:
    """Let the names in ``folder`` reach the disk (fsync(2): that of the file alone does not see to its name)."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
