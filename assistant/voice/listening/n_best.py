"""Which of the engine's ways to hear an utterance is meant, and how sure that is. Pure.

The engine puts words of phrases together anew, so beside "repeat the step" it also finds "repeat this step", which
nobody says, and the two share their chance. Here only what may be said counts: phrases, and anything that holds a word
that is in none.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

WAYS = 10
"""How many ways to hear an utterance are looked at."""
SAYABLE = 0.25
"""At least this share of the chance must be with what may be said; else it was talk that no phrase fits."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A way to hear something: the words, and the log of how likely it is beside the others."""

    text: str
    score: float
    words_s: float = 0.0
    """For how long its words sound, without what lies between them [s]."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The way that is meant and the share (0 to 1) of the chance that it has."""

    text: str
    confidence: float
    words_s: float = 0.0


def joined(pieces: Iterable[Sequence[Candidate]]) -> list[Candidate]:
    """Return the ways to hear an utterance that the engine heard in ``pieces``, likeliest first, at most ``WAYS``."""
    ways = [Candidate("", 0.0)]
    for piece in filter(None, pieces):
        both = [
            Candidate(f"{a.text} {b.text}".strip(), a.score + b.score, a.words_s + b.words_s)
            for a, b in itertools.product(ways, piece)
        ]
        ways = heapq.nlargest(WAYS, both, key=lambda way: way.score)
    return ways


def likelier(ways: Iterable[Candidate], times: Mapping[str, float]) -> list[Candidate]:
    """Return ``ways`` with each that is in ``times`` so many times likelier (1 or more) than it sounded."""
    return [replace(way, score=way.score + math.log(times.get(way.text, 1.0))) for way in ways]


def choose(
    ways: Sequence[Candidate],
    may_be_said: Callable[[str], bool],
    sayable: float = SAYABLE,
    alike: Mapping[str, str] = MappingProxyType({}),
) -> Chosen:
    """Return the likeliest of ``ways`` (one at least) that may be said.

    Phrases that mean the same have their chances together: ``alike`` has one of them for each. It is the likeliest of
    all where those that may be said have less than the share ``sayable`` of the chance.
    """
    best = max(way.score for way in ways)
    chances = [(math.exp(way.score - best), way.text, way.words_s) for way in ways]
    said = [one for one in chances if may_be_said(one[1])]
    enough = sum(chance for chance, *_ in said) >= sayable * sum(chance for chance, *_ in chances)
    counted = said if said and enough else chances
    together: defaultdict[str, float] = defaultdict(float)
    for chance, text, _ in counted:
        together[alike.get(text, text)] += chance
    meant = max(together, key=lambda one: (together[one], one))
    _, text, words_s = max(way for way in counted if alike.get(way[1], way[1]) == meant)
    return Chosen(text, together[meant] / sum(chance for chance, *_ in counted), words_s)
