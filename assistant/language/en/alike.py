"""Names and numbers that are easily taken for one another when they are heard. Ours; tried on names of the trade."""

from __future__ import annotations

import re
from itertools import groupby

_RHYMES = ("bcdegptvz", "ajk", "mn", "fsx", "iy", "qu")
"""Letters whose names rhyme, which is why spelling alphabets exist (from memory)."""
_AS_HEARD = (
    ("ph", "f"), ("gh", ""), ("ck", "k"), ("kn", "n"), ("wh", "w"), ("th", "t"), ("qu", "kw"), ("x", "ks"), ("c", "k"),
    ("z", "s"), ("b", "p"), ("d", "t"), ("g", "k"), ("v", "f"),
)  # fmt: skip
"""Letters that sound alike in noise, where voiced and voiceless ones are hard to tell apart."""

_SILENT_H = re.compile(r"(?<=[aeiou])h(?![aeiou])")


def alike_by_ear(one: str, other: str) -> bool:
    """Return whether two names differ so little that one may be heard for the other.

    Numbers are those from thirteen to nineteen and the tens that begin alike (ICAO Doc 9432, from memory).

    >>> alike_by_ear("15", "50"), alike_by_ear("left", "lift"), alike_by_ear("front left", "front right")
    (True, True, False)
    >>> alike_by_ear("bank b", "bank d"), alike_by_ear("intake", "exhaust")
    (True, False)
    >>> alike_by_ear("jon", "john"), alike_by_ear("kim", "lee")
    (True, False)
    """
    if one.isdigit() and other.isdigit():
        few, many = sorted((int(one), int(other)))
        return 13 <= few <= 19 and many == (few - 10) * 10
    words, others = (re.findall(r"[a-z0-9]+", name.lower()) for name in (one, other))
    return len(words) == len(others) and all(map(_alike, words, others))


def _alike(one: str, other: str) -> bool:
    if len(one) == len(other) == 1:
        return one == other or any(one in row and other in row for row in _RHYMES)
    return one == other or _skeleton(one) == _skeleton(other)


def _skeleton(word: str) -> str:
    """Return the consonants of a word as they are heard, and whether a vowel begins it."""
    begins = "a" if word[0] in "aeiou" else ""
    word = _SILENT_H.sub("", word)
    for written, heard in _AS_HEARD:
        word = word.replace(written, heard)
    return begins + "".join(letter for letter, _ in groupby(re.sub(r"[aeiouy]", "", word)))
