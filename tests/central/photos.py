"""Jobs with photos in the bays of a workshop, for the tests of what becomes of their files."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from assistant.facts import Fact
from assistant.facts.photos import PhotoCame, PhotoDropped, PhotoSource, PhotoTaken
from assistant.pictures.drawing import DrawnPhoto, draw_photo
from assistant.pictures.store import PhotoStore, store_of
from tests.pictures.samples import photo


def picture(number: int = 1, beside: int = 0) -> bytes:
    """Return a real JPEG, another one for each ``number``; with so many bytes behind its end as ``beside`` says."""
    drawn = draw_photo(photo(size=(300 + number, 200)), "it")
    assert isinstance(drawn, DrawnPhoto)
    return drawn.data + bytes(beside)


def named(data: bytes, number: int = 1) -> list[Fact]:
    """Return the facts that ``data`` came, and is the photo ``number`` of the job."""
    name = sha256(data).hexdigest()
    return [
        PhotoCame(sha256=name, size=len(data), width=300, height=200, source=PhotoSource.PAGE, came_ms=1),
        PhotoTaken(number=number, step="", sha256=name, came_ms=1),
    ]


def taken(folder: Path, job: object, data: bytes, now_ms: int, number: int = 1) -> str:
    """Take the photo ``data`` in the bay with the folder ``folder``, as it does, the file first; return its hash."""
    name = photos_of(folder, job).put(data)
    job.append(named(data, number), now_ms)  # type: ignore[attr-defined]
    return name


def dropped(folder: Path, job: object, name: str, now_ms: int, number: int = 1) -> None:
    """Remove a photo by word, as a bay does: the entry first."""
    job.append([PhotoDropped(number=number)], now_ms)  # type: ignore[attr-defined]
    photos_of(folder, job).drop(name)


def photos_of(folder: Path, job: object) -> PhotoStore:
    """Return the photos of ``job`` in the data folder ``folder``."""
    return store_of(getattr(job, "id", job), folder)  # type: ignore[arg-type]
