"""The photos of jobs in the central store: sent, looked for and read, each by its job and its hash."""

from __future__ import annotations

from collections.abc import Collection
from hashlib import sha256
from typing import Any

from assistant.central.link import CentralLink
from assistant.pictures.store import MOST_PHOTO_FILE_BYTES

_TAKES = "SELECT to_regprocedure('shop.receive_photo(text, text, bytea)') IS NOT NULL"
# By workshop and months as values, so that their partitions alone are planned for (see journal/postgres/rows.py).
_MONTHS = "SELECT shop.my_workshop(), array_agg(DISTINCT month) FROM shop.job WHERE name = ANY(%s)"
_THERE = (
    "SELECT job, sha256 FROM shop.photo"
    " WHERE workshop = %(mine)s AND month = ANY(%(months)s::date[]) AND job = ANY(%(jobs)s)"
)
_CONTENT = (
    "SELECT substring(content FROM 1 FOR %(most)s) FROM shop.photo"
    " WHERE workshop = %(mine)s AND month = ANY(%(months)s::date[]) AND job = ANY(%(jobs)s) AND sha256 = %(name)s"
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
    for job, name in link.ask(_THERE, _values(link, jobs)) if jobs else ():
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
    row = link.one(_CONTENT, {**_values(link, [job]), "most": MOST_PHOTO_FILE_BYTES + 1, "name": name})
    data = bytes(row[0]) if row else b""
    return data if sha256(data).hexdigest() == name else None


def _values(link: CentralLink, jobs: Collection[str]) -> dict[str, Any]:
    mine, months = link.ask(_MONTHS, (list(jobs),))[0]
    return {"mine": mine, "months": months or [], "jobs": list(jobs)}
