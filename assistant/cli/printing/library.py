"""Publishes, withdraws and lists what is in the library of the workshop, and says what came of it."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.cli.printing.sending import STANDS_ALONE
from assistant.clock import SteadyClock
from assistant.faults import quoted
from assistant.settings import load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import warn
from assistant.terminal.tables import objects, print_json, table
from assistant.workshop.library import KINDS_TOLD, LibraryItem, LibraryKind, newest
from assistant.workshop.library_copy import LocalLibrary, age_told, bay_library
from assistant.workshop.library_file import prepare_file
from assistant.workshop.library_refresh import refresh_library
from assistant.workshop.library_store import library_items, put_in_library, take_out_of_library
from assistant.workshop.line import central_place

_MOST_REASON = 1000
_HEAD = ("kind", "id", "revision", "state", "approved", "for", "published", "by", "here")


def publish_file(
    path: Path,
    bays: Sequence[str],
    by: str,
    kind: LibraryKind | None,
    name: str,
    revision: str,
    *,
    unapproved: bool,
) -> Exit:
    """Publish the file at ``path``.

    Raises:
        Refusal, CentralFault: it cannot be published, and why.
    """
    prepared = prepare_file(path, kind, name, revision, unapproved=unapproved)
    for finding in prepared.findings:
        warn(str(finding))
    with _linked() as link:
        new = put_in_library(link, prepared.files, bays, " ".join(by.split()) or link.place.login)
    it = prepared.files[-1]
    pictures = f" with {len(it.shows)} picture{'' if len(it.shows) == 1 else 's'}" if it.shows else ""
    unsure = " Nobody approved it as it is; each job with it begins with saying so." if it.approved in _UNSURE else ""
    done = "is published" if new[-1] else "was published before, as it is"
    print(
        f"Revision {it.revision} of the {KINDS_TOLD[it.kind]} {it.id}{pictures} {done}, "
        f"for {', '.join(bays) or 'all bays'}.{unsure}"
    )
    return Exit.OK


_UNSURE = ("no", "changed")


def withdraw_item(kind: LibraryKind, name: str, revision: str, reason: str, by: str) -> Exit:
    """Withdraw one revision, or all of them that are not withdrawn yet.

    Raises:
        Refusal, CentralFault: it cannot be withdrawn, and why.
    """
    reason, by = " ".join(reason.split()), " ".join(by.split())
    if not reason or not by or len(reason) > _MOST_REASON:
        raise Refusal(f"Say why in at most {_MOST_REASON} letters (--reason), and who you are (--by).", Exit.USAGE)
    with _linked() as link:
        known = [one for one in library_items(link) if (one.kind, one.id) == (kind, name)]
        gone = [one for one in known if one.withdrawn is None and revision in ("", one.revision)]
        if not gone:
            raise Refusal(_nothing_to_withdraw(known, kind, name, revision), Exit.PROCEDURE)
        take_out_of_library(link, gone, reason, by)
        left = newest(library_items(link), kind, name)
    what = ", ".join(one.revision for one in reversed(gone))
    then = f"Bays take revision {left.revision} now" if left else "No revision is left"
    print(f"Revision{'s' if len(gone) > 1 else ''} {what} of the {KINDS_TOLD[kind]} {name} withdrawn. {then}.")
    return Exit.OK


def _nothing_to_withdraw(known: Sequence[LibraryItem], kind: LibraryKind, name: str, revision: str) -> str:
    told = f"the {KINDS_TOLD[kind]} {quoted(name)}"
    if not known:
        return f"There is no {told.removeprefix('the ')} in the library; see: assistant library"
    if revision and revision not in {one.revision for one in known}:
        there = ", ".join(one.revision for one in reversed(known[:8]))
        return f"There is no revision {quoted(revision)} of {told} in the library; there is: {there}"
    return f"All that was to be withdrawn of {told} was withdrawn before; see: assistant library"


def print_library(*, refresh: bool, as_json: bool) -> Exit:
    """List what the login may use, as the store tells it now, or else this bay's copy.

    Raises:
        Refusal: there is neither a store nor a copy.
    """
    library = bay_library()
    items: Sequence[LibraryItem] = library.items
    ended = Exit.OK
    try:
        with _linked() as link:
            if refresh:
                came = refresh_library(link, library.folder)
                for fault in came.faults:
                    warn(fault)
                ended = Exit.CENTRAL if came.faults else Exit.OK
            items = library_items(link)
    except (CentralFault, Refusal) as fault:
        if library.asked_at is None:
            raise
        warn(fault.sentence)
        ended = Exit.CENTRAL
    rows = [_row(library, one) for one in items]
    if as_json:
        reasons = [one.withdrawn.reason if one.withdrawn else "" for one in items]
        print_json(objects((*_HEAD, "reason"), [(*row, why) for row, why in zip(rows, reasons, strict=True)]))
        return ended
    print(table(_HEAD, rows) if rows else "Nothing is published for this login.")
    for one in items:
        if one.withdrawn is not None:
            gone = one.withdrawn
            print(f"{one.id}, revision {one.revision}: withdrawn on {gone.day} by {gone.by}: {gone.reason}")
    print(age_told(library.asked_at, SteadyClock().now()))
    return ended


def _row(library: LocalLibrary, one: LibraryItem) -> tuple[str, ...]:
    there = library.item(one.kind, one.id, one.revision)
    approved = {"yes": f"{one.approved_by} on {one.approved_on}", "no": "no", "changed": "not as it is"}
    return (
        KINDS_TOLD[one.kind], one.id, one.revision, "withdrawn" if one.withdrawn else "published",
        approved.get(one.approved, ""), ", ".join(bay or "all" for bay in one.bays), _day(one.at_ms), one.by,
        "no" if there is None else "yes" if library.is_whole(there) else "" if one.withdrawn else "damaged",
    )  # fmt: skip


def _day(at_ms: int) -> str:
    return time.strftime("%Y-%m-%d", time.gmtime(at_ms / 1000))


@contextlib.contextmanager
def _linked() -> Iterator[CentralLink]:
    place = central_place(load_settings(settings_path()))
    if place is None:
        raise Refusal(STANDS_ALONE, Exit.USAGE)
    with contextlib.closing(CentralLink(place)) as link:
        yield link
