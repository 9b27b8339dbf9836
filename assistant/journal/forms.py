"""What goes into the journal, as the chain takes it: the one place that knows what a fact is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.events import Record

Storable = Record
"""What a journal takes."""

BAY_KINDS = frozenset(
    {"device_lost", "device_back", "interrupted", "audio_kept", "sound_lost", "part_failed"}
    | {"corrected", "meter", "supply_used", "forgotten"}
)
"""Kinds that stand for themselves: the bay writes them about itself, or they are added afterwards."""


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A fact in the form in which it is stored; ``cause`` as in :class:`assistant.journal.port.Entry`."""

    kind: str
    version: int
    cause: int
    data: Mapping[str, Any]


def forms(facts: Sequence[Storable], first_seq: int) -> list[EntryForm]:
    """Return ``facts`` as they are stored from the entry ``first_seq`` on, each with its cause.

    The first that does not stand for itself is the input; those behind it name it as their cause.
    """
    found: list[EntryForm] = []
    cause = 0
    for seq, fact in enumerate(facts, first_seq):
        alone = fact.kind in BAY_KINDS
        found.append(EntryForm(fact.kind, 1, 0 if alone else cause, fact.data))
        if not alone and not cause:
            cause = seq
    return found


def forgotten(entries: int) -> Storable:
    """Return the fact that the personal data of so many entries was removed."""
    return Record("forgotten", {"entries": entries})
