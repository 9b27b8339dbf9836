"""The chain: each entry carries the hash of the one before it, and its own is taken over all that it holds."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.journal.canonical import canonical, canonical_text
from assistant.journal.forms import EntryForm
from assistant.journal.port import Entry, Judged, Verdict

FIRST = "0" * 64
"""What stands for the hash before the first entry of a job."""


@dataclass(frozen=True, slots=True)
class Stored:
    """One entry as a store holds it: ``data`` is text, and nothing in it has been checked."""

    seq: int
    at_ms: int
    kind: str
    version: int
    cause: int
    data: str
    prev: str
    hash: str


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a chain: the number and the hash of its last entry."""

    seq: int = 0
    hash: str = FIRST


def chain_hash(job: str, seq: int, at_ms: int, kind: str, version: int, cause: int, data: str, prev: str) -> str:
    """Return the SHA-256, in hexadecimal, of one entry.

    It is taken over the UTF-8 of the canonical JSON list ``[job, seq, at_ms, kind, version, cause, data, prev]``, where
    ``data`` is the canonical JSON of the entry's values, as text. docs/journal.md shows how to check it by hand.
    """
    # Text and whole numbers, checked before: this form is canonical.
    line = canonical_text([job, seq, at_ms, kind, version, cause, data, prev])
    return hashlib.sha256(line.encode("utf-8", "surrogatepass")).hexdigest()


def link(job: str, head: Head, forms: Sequence[EntryForm], now_ms: int) -> list[Stored]:
    """Return the entries that follow ``head``, all at ``now_ms`` (milliseconds since the epoch).

    Raises:
        TypeError: one of ``forms`` holds a value that the journal cannot keep.
    """
    stored = []
    seq, prev = head.seq, head.hash
    for form in forms:
        seq += 1
        kind, data = _plain(form.kind), canonical(dict(form.data))
        own = chain_hash(job, seq, now_ms, kind, form.version, form.cause, data, prev)
        stored.append(Stored(seq, now_ms, kind, form.version, form.cause, data, prev, own))
        prev = own
    return stored


def _plain(kind: str) -> str:
    """Return ``kind`` if the journal can keep it.

    Raises:
        TypeError: it is empty or not plain text.
    """
    if not kind or canonical(kind) != f'"{kind}"':
        raise TypeError(f"the kind of a journal entry must be a plain word, not {kind!r}")
    return kind


def as_entry(stored: Stored, data: Mapping[str, Any] | None = None) -> Entry:
    """Return what is ``stored`` for its reader; ``data`` are its values when they were read before."""
    values = json.loads(stored.data) if data is None else data
    return Entry(stored.seq, stored.at_ms, stored.kind, values, stored.prev, stored.hash, stored.version, stored.cause)


def check_chain(job: str, stored: Iterable[Stored], head: Head | None = None) -> Judged:
    """Return the entries up to the first that does not fit the one before it, and what was found.

    They begin behind ``head``; without it they are the whole job.
    """
    good: list[Entry] = []
    seq, prev = (head.seq, head.hash) if head else (0, FIRST)
    for row in stored:
        seq += 1
        data = _unpacked(row)
        if data is None:
            return Judged(good, broken(job, good, "does not fit the chain", head))
        own = chain_hash(job, seq, row.at_ms, row.kind, row.version, row.cause, row.data, prev)
        if (row.seq, row.prev, row.hash) != (seq, prev, own):
            return Judged(good, broken(job, good, "does not fit the chain", head))
        good.append(as_entry(row, data))
        prev = own
    if not good and head is None:
        return Judged(good, broken(job, good, "is missing"))
    return Judged(good, Verdict(True, seq, prev, f"All {seq} entries of job {job} fit the chain."))


def broken(job: str, good: Sequence[Entry], how: str, head: Head | None = None) -> Verdict:
    """Return the verdict on a job of which only the entries ``good`` can be trusted, and why the next one cannot.

    ``good`` begin behind ``head``, if that is given.
    """
    end = Head(good[-1].seq, good[-1].hash) if good else head or Head()
    before = {0: "there is none before it", 1: "the entry before it is good"}.get(
        end.seq, f"the {end.seq} entries before it are good"
    )
    sentence = f"Entry {end.seq + 1} of job {job} {how}; {before}."
    if end.seq:
        sentence += f" Read what is good with: assistant show {job}"
    return Verdict(False, end.seq, end.hash, sentence)


def _unpacked(row: Stored) -> Mapping[str, Any] | None:
    """Return the values in ``row``, or None when it holds anything else than a JSON mapping without floats."""
    texts = isinstance(row.kind, str) and isinstance(row.data, str)
    numbers = (row.at_ms, row.version, row.cause)
    if not (texts and all(isinstance(number, int) for number in numbers)):
        return None  # a damaged page may give any type
    try:
        values = _READER.decode(row.data)
    except (ValueError, RecursionError):
        return None
    return values if isinstance(values, dict) else None


def _refuse(number: str) -> Any:
    raise ValueError(f"no entry holds {number}")


_READER = json.JSONDecoder(parse_float=_refuse, parse_constant=_refuse)
