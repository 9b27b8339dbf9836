"""Builds a job's session again from its entries, and checks that it decides today as it decided then."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeVar

from assistant.events import Record
from assistant.journal.canonical import canonical
from assistant.journal.forms import BAY_KINDS
from assistant.journal.port import Entry, JournalFault


class Replayable(Protocol):
    """What can be built again: it answers an old input with the records that the input caused."""

    def replay(self, kind: str, data: Mapping[str, Any], now: float) -> list[Record]:
        """Take one input of kind ``kind`` at ``now`` (seconds since the epoch) and return its records, itself first."""


S = TypeVar("S", bound=Replayable)


@dataclass(frozen=True, slots=True)
class Replayed:
    """How far the entries went: ``last_at_ms`` is the time of the last one, in milliseconds since the epoch."""

    last_at_ms: int
    inputs: int


def replay(
    entries: Sequence[Entry], session: S, input_kinds: frozenset[str], tell: Callable[[int], None] = lambda _: None
) -> Replayed:
    """Feed the inputs among ``entries`` to ``session``, in order.

    ``tell`` gets the number of entries done, for progress.

    Raises:
        JournalFault: the session makes other records of an input than those stored, which happens when the job was
            written by a version with other rules; the sentence names the entry.
    """
    at, inputs = 0, 0
    while at < len(entries):
        entry = entries[at]
        if entry.kind in BAY_KINDS:
            at += 1
            continue
        if entry.kind not in input_kinds:
            raise _differs(entry, f'"{entry.kind}" does not follow from anything before it')
        inputs += 1
        for record in _records(session, entry):
            stored = entries[at] if at < len(entries) else None
            if stored is None or not _same(stored, record):
                raise _differs(stored or entries[-1], f'this version would write "{record.kind}" there')
            at += 1
        tell(at)
    return Replayed(entries[-1].at_ms if entries else 0, inputs)


def _same(stored: Entry, record: Record) -> bool:
    if stored.kind != record.kind:
        return False
    return stored.data == record.data or canonical(stored.data) == canonical(record.data)  # a tuple is stored as a list


def _records(session: Replayable, entry: Entry) -> list[Record]:
    try:
        return session.replay(entry.kind, entry.data, entry.at_ms / 1000)
    except (LookupError, ValueError, TypeError, ArithmeticError) as fault:  # a field is not there, or not as it is now
        raise _differs(entry, f"this version cannot take it up: {fault!r}") from fault


def _differs(entry: Entry, what: str) -> JournalFault:
    return JournalFault(
        f"Entry {entry.seq} of this job was written under other rules ({what}), so the job cannot go on with "
        "this version of the assistant. Nothing is lost: read it with assistant show, or use the version that wrote it."
    )
