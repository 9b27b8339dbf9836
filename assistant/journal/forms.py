"""What goes into the journal, as the chain takes it: the one place that knows what a fact is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant import facts
from assistant.facts import Fact
from assistant.facts.bay import Forgotten


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A fact in the form in which it is stored; ``cause`` as in :class:`assistant.journal.port.Entry`."""

    kind: str
    version: int
    cause: int
    data: Mapping[str, Any]


def forms(happened: Sequence[Fact], first_seq: int) -> list[EntryForm]:
    """Return the facts that ``happened`` as they are stored from the entry ``first_seq`` on, each with its cause.

    The first that does not stand for itself is the input, and so is each that is one by its class; those behind it
    name it as their cause.
    """
    found: list[EntryForm] = []
    cause = 0
    for seq, fact in enumerate(happened, first_seq):
        kind, version, data = facts.dump(fact)
        if fact.IS_INPUT:
            cause = 0
        found.append(EntryForm(kind, version, 0 if fact.STANDS_ALONE else cause, data))
        if not fact.STANDS_ALONE and not cause:
            cause = seq
    return found


def forgotten(entries: int) -> Fact:
    """Return the fact that the personal data of so many entries was removed."""
    return Forgotten(entries=entries)
