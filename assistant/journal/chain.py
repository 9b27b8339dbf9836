"""Makes entries out of records: each carries the hash of the one before it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.events import Record
from assistant.journal.canonical import canonical
from assistant.journal.port import FIRST, Entry, Stored, chain_hash


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a chain: the number and the hash of its last entry."""

    seq: int = 0
    hash: str = FIRST


def link(job: str, head: Head, records: Sequence[Record], now_ms: int) -> list[Stored]:
    """Return the entries that follow ``head``, all at ``now_ms`` (milliseconds since the epoch).

    Raises:
        TypeError: a record holds a value that the journal cannot keep.
    """
    stored = []
    seq, prev = head.seq, head.hash
    for record in records:
        seq += 1
        data = canonical(dict(record.data))
        own = chain_hash(job, seq, now_ms, canonical_kind(record.kind), data, prev)
        stored.append(Stored(seq, now_ms, record.kind, data, prev, own))
        prev = own
    return stored


def canonical_kind(kind: str) -> str:
    """Return ``kind`` if the journal can keep it.

    Raises:
        TypeError: it is empty or not plain text.
    """
    if not kind or canonical(kind) != f'"{kind}"':
        raise TypeError(f"the kind of a journal entry must be a plain word, not {kind!r}")
    return kind


def as_entry(stored: Stored) -> Entry:
    """Return what was just linked, for its reader."""
    return Entry(stored.seq, stored.at_ms, stored.kind, json.loads(stored.data), stored.prev, stored.hash)
