"""Makes entries out of records: each carries the hash of the one before it."""

from __future__ import annotations

import json
from collections.abc import Sequence

from assistant.events import Record
from assistant.journal.port import FIRST, Entry, canonical, chain_hash


def link(job: str, last: Entry | None, records: Sequence[Record], now_ms: int) -> list[Entry]:
    """Return the entries that follow ``last`` (None: the job is new), all at ``now_ms`` (milliseconds since the epoch).

    Raises:
        TypeError: a record holds a value that the journal cannot keep.
    """
    entries = []
    seq, prev = (last.seq, last.hash) if last else (0, FIRST)
    for record in records:
        seq += 1
        data = canonical(record.data)
        own = chain_hash(job, seq, now_ms, record.kind, data, prev)
        entries.append(Entry(seq, now_ms, record.kind, json.loads(data), prev, own))
        prev = own
    return entries
