"""Who is in which part: the same people train, choose and measure in every stage and in every measurement. Pure."""

from __future__ import annotations

import hashlib

SPLIT_BY_SPEAKER = frozenset({"gsc_9words", "gsc_small", "fsdd", "librispeech_part", "speechocean762"})
"""One speaker in ten is ``dev``, one ``test``. Two of these sets share people, so all count the same way."""
PEOPLE_WHO_DECIDE = frozenset({"gsc_more_people", "coswara_count", "coswara_parts"})
"""Of these people, who are in no other set, two in ten are ``dev`` and two ``test``: limits, costs, near words and
priors are chosen by people, and there must be enough of them."""


def part_of(source: str, speaker: str) -> str:
    """Return the part that a person's recordings of one set go to: the same for all recordings of that person."""
    fold = tenth(speaker)
    if source in PEOPLE_WHO_DECIDE:
        fold //= 2
    elif source not in SPLIT_BY_SPEAKER:
        return "train-human"
    return {0: "test-human", 1: "dev-human"}.get(fold, "train-human")


def tenth(name: str) -> int:
    """Return a number from 0 to 9 that depends on ``name`` alone."""
    return hashlib.sha256(name.encode()).digest()[0] % 10
