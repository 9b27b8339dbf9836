"""The photos of jobs in the central store: sent, looked for and read, each by its job and its hash."""

from __future__ import annotations

from collections.abc import Collection
from hashlib import sha256

from assistant.central.link import CentralLink
from assistant.pictures.store import MOST_PHOTO_FILE_BYTES

_TAKES = "SELECT to_regprocedure('shop.receive_photo(text, text, bytea)') IS NOT NULL"
# By the month of the job, so that only the one partition is looked into.
_THERE = (
    "SELECT p.job, p.sha256 FROM shop.job j JOIN shop.photo p"
    " ON p.workshop = j.workshop AND p.month = j.month AND p.job = j.name WHERE j.name = ANY(%s)"
)
_CONTENT = (
    "SELECT substring(p.content FROM 1 FOR %s) FROM shop.job j JOIN shop.photo p"
    " ON p.workshop = j.workshop AND p.month = j.month AND p.job = j.name WHERE j.name = %s AND p.sha256 = %s"
)


def takes_photos(link: CentralLink) -> bool:
    """Return whether the store has room for photos; one that an older version of the program made has none.

    Raises:
        CentralFault: the store cannot be reached.
    """
    return bool(link.ask(_TAKES)[0][0])


def photos_there(link: CentralLink, jobs: Collection[str]) -> dict[str, set[str]]:
    """Return the hashes of the photos that the store has, for each of ``jobs`` of which it has any.

    Raises:
        CentralFault: the store cannot be reached.
    """
    found: dict[str, set[str]] = {}
    for job, name in link.ask(_THERE, (list(jobs),)) if jobs else ():
        found.setdefault(job, set()).add(name)
    return found


def put_photo(link: CentralLink, job: str, name: str, data: bytes) -> str:
    """Let the store keep ``data``, the photo of ``job`` with the hash ``name``; the same once more is harmless.

    Returns:
        "" when it is there, or why it is not taken; ``central/schema/010_photos.sql`` has the reasons.

    Raises:
        CentralFault: the store cannot be reached; nothing of the photo is there then.
    """
    return str(link.ask("SELECT shop.receive_photo(%s, %s, %b)", (job, name, data))[0][0])


def stored_photo(link: CentralLink, job: str, name: str) -> bytes | None:
    """Return the photo of ``job`` with the hash ``name``; None where it is not there, or not what its hash says.

    Raises:
        CentralFault: the store cannot be reached.
    """
    row = link.one(_CONTENT, (MOST_PHOTO_FILE_BYTES + 1, job, name))
    data = bytes(row[0]) if row else b""
    return data if sha256(data).hexdigest() == name else None
