"""Number words that are taken for one another when they are heard, and what a phrase with one of them may have been.

``MEASURED`` is chosen from people who count, on the part ``dev`` of the recordings, for the model that is shipped:
``python -m tests.bench.numbers_heard PARTS`` prints it (docs/hearing.md). ``KNOWN`` are the pairs for which
radiotelephony has words of its own ("fife" and "niner"; ICAO Annex 10, from memory) or says digits one by one (ICAO Doc
9432, from memory): few people say teens in the recordings, and nobody tens. ``ALONE_ALIKE`` were heard so as
the whole number: "count two" of a synthetic voice at one metre, and of people in a forced choice among number words.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from functools import lru_cache

MEASURED: tuple[tuple[str, str], ...] = (
    ("zero", "seven"),
    ("zero", "eleven"),
    ("four", "five"),
)
KNOWN: tuple[tuple[str, str], ...] = (
    ("five", "nine"),
    ("thirteen", "thirty"),
    ("fourteen", "forty"),
    ("fifteen", "fifty"),
    ("sixteen", "sixty"),
    ("seventeen", "seventy"),
    ("eighteen", "eighty"),
    ("nineteen", "ninety"),
)


ALONE_ALIKE: tuple[tuple[str, str], ...] = (("zero", "two"),)


def _others(*pairs: tuple[str, str]) -> Mapping[str, tuple[str, ...]]:
    others: dict[str, list[str]] = defaultdict(list)
    for one, other in dict.fromkeys(pairs):
        others[one].append(other)
        others[other].append(one)
    return {word: tuple(dict.fromkeys(found)) for word, found in others.items()}


_OTHERS = _others(*MEASURED, *KNOWN)
_OTHERS_ALONE = _others(*MEASURED, *KNOWN, *ALONE_ALIKE)


_IN_NUMBERS = frozenset(("oh", "one", "six", "ten", "twelve", "twenty", "hundred", "point", "decimal"))
"""Words of numbers that are like no other: beside one of them, a word is not the whole number."""


@lru_cache(maxsize=1024)
def texts_like(text: str) -> tuple[str, ...]:
    """Return what ``text`` [as a recogniser writes it] may have been: with one number word in place of its like.

    >>> texts_like("count fifteen"), texts_like("count two")
    (('count fifty',), ('count zero',))
    >>> texts_like("next")
    ()
    """
    words = text.split()
    others = _OTHERS_ALONE if sum(word in _OTHERS_ALONE or word in _IN_NUMBERS for word in words) == 1 else _OTHERS
    return tuple(
        " ".join((*words[:at], other, *words[at + 1 :]))
        for at, word in enumerate(words)
        for other in others.get(word, ())
    )
