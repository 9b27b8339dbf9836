"""The library in the central store: what the office publishes and withdraws, and what a login may read of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from assistant.central.link import CentralLink
from assistant.workshop.library import MOST_ITEMS, LibraryItem, LibraryKind, RevisionWithdrawn

_SOME = (
    "SELECT p.kind, p.id, p.revision, p.number, p.title, p.sha256, octet_length(p.content), p.approved, p.approved_by,"
    " p.approved_on, p.shows, p.by, (extract(epoch FROM p.at) * 1000)::bigint, w.reason,"
    " (extract(epoch FROM w.at) * 1000)::bigint, w.by, ARRAY(SELECT a.bay FROM shop.allowed a"
    " WHERE (a.workshop, a.kind, a.id, a.revision) = (p.workshop, p.kind, p.id, p.revision) ORDER BY a.bay)"
    " FROM shop.published p LEFT JOIN shop.withdrawn w USING (workshop, kind, id, revision)"
)
_ITEMS = f"{_SOME} ORDER BY p.number DESC LIMIT %s"
_NEWEST = (
    f"{_SOME} WHERE p.kind = %s AND w.at IS NULL AND EXISTS (SELECT FROM shop.allowed a WHERE a.bay IN ('', %s)"
    " AND (a.workshop, a.kind, a.id, a.revision) = (p.workshop, p.kind, p.id, p.revision))"
    " ORDER BY p.number DESC LIMIT 1"
)
_CONTENT = "SELECT substring(content FROM 1 FOR %s) FROM shop.published WHERE kind = %s AND id = %s AND revision = %s"
_PUBLISH = "SELECT shop.publish(%s, %s, %s, %s, %s, %s, %s, %s, %s::text[], %s::text[], %s)"
_KINDS = frozenset(kind.value for kind in LibraryKind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """A file as it is to be published. Its fields are those of a :class:`~assistant.workshop.library.LibraryItem`."""

    kind: LibraryKind
    id: str
    revision: str
    title: str
    content: bytes
    approved: str = ""
    approved_by: str = ""
    approved_on: str = ""
    shows: tuple[tuple[str, str], ...] = ()


def put_in_library(link: CentralLink, files: Sequence[Publication], bays: Sequence[str], by: str) -> list[bool]:
    """Publish ``files``, all or none, for ``bays`` (none: for all); return of each whether it was not there before.

    Raises:
        CentralFault: one is there with another content, or was withdrawn; there is no such bay; the login is not the
            office's; the store cannot be reached.
    """
    with link.transaction():
        return [bool(link.ask(_PUBLISH, _values(one, bays, by))[0][0]) for one in files]


def take_out_of_library(link: CentralLink, items: Sequence[LibraryItem], reason: str, by: str) -> None:
    """Withdraw ``items``, all or none; nothing of them is removed.

    Raises:
        CentralFault: one was withdrawn before; the login is not the office's; the store cannot be reached.
    """
    with link.transaction():
        for one in items:
            link.ask("SELECT shop.withdraw(%s, %s, %s, %s, %s)", (one.kind.value, one.id, one.revision, reason, by))


def library_items(link: CentralLink) -> list[LibraryItem]:
    """Return all that the login may use, the newest first; for the office all of its workshop.

    Of a kind that a newer version of the program publishes, nothing is told.

    Raises:
        CentralFault: the store cannot be reached.
    """
    return [_item(row) for row in link.ask(_ITEMS, (MOST_ITEMS,)) if row[0] in _KINDS]


def newest_for(link: CentralLink, kind: LibraryKind, bay: str) -> LibraryItem | None:
    """Return what was published last of ``kind`` for ``bay`` and is not withdrawn, whatever it is called.

    Raises:
        CentralFault: the store cannot be reached.
    """
    row = link.one(_NEWEST, (kind.value, bay))
    return None if row is None else _item(row)


def published_content(link: CentralLink, item: LibraryItem) -> bytes:
    """Return the bytes of ``item`` as the store has them, one more than its kind may have at most.

    Raises:
        CentralFault: the store cannot be reached.
    """
    row = link.one(_CONTENT, (item.kind.most_bytes + 1, item.kind.value, item.id, item.revision))
    return b"" if row is None else bytes(row[0])


def library_channel(login: str) -> str:
    """Return the channel on which a bay with ``login`` (WORKSHOP.BAY) is told that the library changed."""
    return f"shop_library_{login.partition('.')[0]}"


def _values(one: Publication, bays: Sequence[str], by: str) -> tuple[object, ...]:
    shows = [part for pair in one.shows for part in pair]
    return (
        one.kind.value, one.id, one.revision, one.title, one.content, one.approved, one.approved_by, one.approved_on,
        shows, list(bays), by,
    )  # fmt: skip


def _item(row: Sequence[Any]) -> LibraryItem:
    kind, name, revision, number, title, sha256, size, approved, approved_by, approved_on, shows, by, at_ms, *rest = row
    reason, withdrawn_ms, withdrawn_by, bays = rest
    return LibraryItem(
        kind=LibraryKind(kind), id=name, revision=revision, number=number, title=title, sha256=sha256, size=size,
        approved=approved, approved_by=approved_by, approved_on=approved_on,
        shows=tuple(zip(shows[::2], shows[1::2], strict=False)), by=by, at_ms=at_ms,
        withdrawn=None if reason is None else RevisionWithdrawn(reason, withdrawn_ms, withdrawn_by), bays=tuple(bays),
    )  # fmt: skip
