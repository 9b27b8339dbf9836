"""Whether the photos of a job are what its journal tells: each by its hash."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.bay import Forgotten
from assistant.journal.port import Entry
from assistant.pictures.store import photos_that_count, store_of


def photos_wrong(job: str, entries: Sequence[Entry]) -> tuple[list[str], list[str]]:
    """Return sentences about photos of ``job`` that are missing or changed, and others that only tell.

    With the personal data of a job its photos are removed: none is missing then.
    """
    photos = photos_that_count(entry.fact for entry in entries)
    store = store_of(job)
    if any(isinstance(entry.fact, Forgotten) for entry in entries):
        return [], [f"Its {_many(len(photos))} removed with its personal data."] if photos else []
    missing, other, strange = store.wrong({one.sha256 for one in photos.values()})
    wrong = [
        f"Photo {number} of job {job} {_how(one.sha256 in missing)}: {store.path(one.sha256)}."
        for number, one in photos.items()
        if one.sha256 in missing or one.sha256 in other
    ]
    told = [f"{name} in {store.folder} is no photo that the journal tells of." for name in strange]
    if photos and not wrong:
        told.insert(0, f"Its {_many(len(photos), were=False)} what the journal tells, by SHA-256.")
    return wrong, told


def _how(is_missing: bool) -> str:
    return "is missing" if is_missing else "was changed"


def _many(number: int, *, were: bool = True) -> str:
    return f"photo {'was' if were else 'is'}" if number == 1 else f"{number} photos {'were' if were else 'are'}"
