"""What people said and who they are, kept beside the chain, so that it can be removed without breaking it.

An entry holds a digest in place of such a value; the value itself, and the salt without which the digest tells nothing,
stand in a table of their own. Removing those rows leaves every hash of the chain as it was.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from assistant.facts import personal_fields
from assistant.journal.canonical import canonical
from assistant.journal.forms import EntryForm
from assistant.journal.port import Entry

GONE = "[removed]"
"""What is read where a value was removed."""
LOST = "[cannot be read]"
"""What is read where the file is damaged."""
SEALED = "sealed"


@dataclass(frozen=True, slots=True)
class Kept:
    """One value beside the chain: entry and key that it belongs to, salt, and the value as canonical JSON."""

    seq: int
    key: str
    salt: str
    value: str

    @property
    def digest(self) -> str:
        """Return the SHA-256 that stands in the entry."""
        return hashlib.sha256(f"{self.salt}{self.value}".encode()).hexdigest()


def seal(forms: Sequence[EntryForm], first_seq: int) -> tuple[list[EntryForm], list[Kept]]:
    """Return ``forms`` as they go into the chain from ``first_seq`` on, and what is kept beside it.

    Raises:
        TypeError: a value is none that the journal can keep.
    """
    sealed: list[EntryForm] = []
    kept: list[Kept] = []
    for seq, form in enumerate(forms, first_seq):
        keys = sorted(name for name in personal_fields(form.kind) if form.data.get(name))
        beside = [Kept(seq, key, secrets.token_hex(16), canonical(form.data[key])) for key in keys]
        kept += beside
        sealed.append(replace(form, data={**form.data, **{one.key: {SEALED: one.digest} for one in beside}}))
    return sealed, kept


def unsealed(entries: Iterable[Entry], kept: Iterable[Kept], *, missing: str = "") -> tuple[list[Entry], str]:
    """Return ``entries`` with the values in their places, up to the first that does not fit, and what is wrong there.

    A value that is not there reads as ``missing`` (GONE or LOST); where that is empty, all must be there.
    """
    by_entry: dict[int, dict[str, Kept]] = {}
    for one in kept:
        by_entry.setdefault(one.seq, {})[one.key] = one
    opened: list[Entry] = []
    for entry in entries:
        beside = by_entry.pop(entry.seq, {})
        values: dict[str, Any] = {}
        for key, value in entry.data.items():
            if not _is_seal(value):
                continue
            there = beside.pop(key) if key in beside else None
            if there is None and not missing:
                return opened, f"lacks what was said in it ({key})"
            if there is not None and there.digest != value[SEALED]:
                return opened, f"is not what was said ({key})"
            values[key] = missing if there is None else json.loads(there.value)
        if beside:
            return opened, "has more said in it than was written"
        opened.append(replace(entry, data={**entry.data, **values}) if values else entry)
    return opened, "has words that belong to no entry" if by_entry else ""


def _is_seal(value: Any) -> bool:
    return isinstance(value, Mapping) and set(value) == {SEALED}
