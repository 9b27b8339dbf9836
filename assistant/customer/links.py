"""The link of each customer to the page of a job: kept as a digest only, good for some days, and revoked at any time.

Everything that belongs to it (the digest, a copy of the price list and of the workshop's own text, photos) lies in a
folder of its job, in the data folder: ``assistant forget`` removes that folder.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import re
import secrets
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.files import FileFault, private_folder, read_file, whole_number
from assistant.settings import home

DAY_MS = 24 * 3600 * 1000
_TOKEN_BYTES = 24
"""192 random bits: nobody guesses that, however long the link is good."""
_TOKEN = re.compile(r"[A-Za-z0-9_-]{32}", re.ASCII)
_LINK, _PRICES = "link.json", "prices.csv"
_MOST_LINK_BYTES = 1_000


@dataclass(frozen=True, slots=True)
class Link:
    """A link to the page of ``job``, good until ``until_ms`` [ms since the epoch]."""

    job: str
    until_ms: int


def customer_folder(job: str) -> Path:
    """Return where the things of the page of ``job`` lie, whether there are any or not."""
    return home() / "customer" / job


def prices_path(job: str) -> Path:
    """Return where the copy of the price list lies that the page of ``job`` shows prices by."""
    return customer_folder(job) / _PRICES


def make_token(job: str, until_ms: int) -> str:
    """Return a new secret for the page of ``job``, good until ``until_ms`` [ms since the epoch]; others end with it.

    Raises:
        OSError: its digest cannot be kept.
    """
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    put_private(
        customer_folder(job) / _LINK, json.dumps({"sha256": _digest(token), "until_ms": str(until_ms)}).encode()
    )
    return token


def revoke(job: str) -> bool:
    """End the link to the page of ``job``; return whether there was one.

    Raises:
        OSError: it cannot be removed.
    """
    path = customer_folder(job) / _LINK
    there = path.exists()
    path.unlink(missing_ok=True)
    return there


def forget_page(job: str) -> bool:
    """Remove link, prices and photos of the page of ``job``; return whether there were any.

    Raises:
        OSError: they cannot be removed.
    """
    folder = customer_folder(job)
    if not folder.exists():
        return False
    shutil.rmtree(folder)
    return True


def find_link(token: str, now_ms: int) -> Link | None:
    """Return what ``token`` opens at ``now_ms`` [ms since the epoch]; None when it opens nothing, or no longer.

    All links are compared, and digests of equal length at that, so that the time tells nothing of how near one was.
    """
    given, found = _digest(token if _TOKEN.fullmatch(token) else ""), None
    for known, link in _links():
        if hmac.compare_digest(known.encode(), given.encode()) and now_ms < link.until_ms:
            found = link
    return found


def put_private(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` for its owner alone, in one moment: whoever reads finds the old file or the new one.

    Raises:
        OSError: it cannot be written.
    """
    private_folder(path.parent.parent, ours=True)
    private_folder(path.parent, ours=True)
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        beside.touch(mode=0o600)
        beside.write_bytes(data)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def _links() -> Iterator[tuple[str, Link]]:
    folder = home() / "customer"
    for path in sorted(folder.glob(f"*/{_LINK}")) if folder.is_dir() else ():
        data = read_file(path, _MOST_LINK_BYTES, "a link", no_link=True)
        if isinstance(data, FileFault):
            continue
        try:
            kept = json.loads(data)
            sha256, until_ms = str(kept["sha256"]), whole_number(str(kept["until_ms"]))
        except (ValueError, KeyError, TypeError, RecursionError):
            continue
        if until_ms is not None:
            yield sha256, Link(path.parent.name, until_ms)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
