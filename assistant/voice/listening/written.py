"""What a writer of free speech wrote, made plain: text that may be stored, shown and read aloud. Pure.

Such an engine writes as people do, with capitals and marks. It may also write what nobody said: one word over and over,
or a word of thanks into a noise. What it wrote is looked at here before it counts.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from difflib import SequenceMatcher

_MARKS = str.maketrans({"‘": "'", "’": "'", "“": '"', "”": '"', "–": "-", "—": "-", "…": "."})
_ODD = re.compile(r"[^\w\s.,;:!?'\"()/%&+°#-]|_")
_BRACKETED = re.compile(r"\[[^\]]*\]|\([^)]*\)")
_NOT_IN_WORDS = re.compile(r"[^\w' ]")
MOST_TIMES = 4
"""A word, or up to four of them, that comes oftener than this in a row was not said so. Ours, not published."""
_LOOKS_LIKE, _LOOKS_LIKE_ALONE = 0.6, 0.75
"""How many of the letters must be those of the phrase that ends a note (0 to 1). Ours, not published."""
_LEAST_UNHEARD = 2
"""So many words must be written where the usual recogniser heard none: into a noise, one or two are written easily."""


def written_plain(text: str) -> str:
    """Return ``text`` without what cannot be read aloud: remarks in brackets, symbols, and marks of other alphabets."""
    flat = _ODD.sub(" ", _BRACKETED.sub(" ", unicodedata.normalize("NFKC", text).translate(_MARKS)))
    return " ".join(flat.split())


def bare_words(text: str) -> list[str]:
    """Return the words of ``text`` in small letters, without marks."""
    return _NOT_IN_WORDS.sub(" ", text.lower()).split()


def goes_round(text: str) -> bool:
    """Return whether the same one to four words stand in ``text`` more than :data:`MOST_TIMES` times in a row."""
    words = bare_words(text)
    for length in range(1, 5):
        times = 1
        for at in range(length, len(words) - length + 1, length):
            times = times + 1 if words[at : at + length] == words[at - length : at] else 1
            if times > MOST_TIMES:
                return True
    return False


def believed(text: str, usual: str) -> str:
    """Return ``text`` made plain where it may be believed, else ``usual``, which the usual recogniser heard."""
    written = written_plain(text)
    words = bare_words(written)
    if not words or goes_round(written) or (not usual and len(words) < _LEAST_UNHEARD):
        return usual
    return written


def with_ending(text: str, usual: str, ending: str, written: Sequence[str]) -> str:
    """Return ``text`` with the phrase ``ending`` as its last words where that is what was said.

    It is when they are one of the ways in which it is ``written``, when nothing else was said and they look much like
    it, or when the ``usual`` recogniser heard the phrase and they look like it.
    """
    words = text.split()
    bare = [" ".join(bare_words(word)) for word in words]
    for way in sorted(written, key=len, reverse=True):
        size = len(way.split())
        if bare[-size:] == way.split():
            return " ".join([*words[:-size], ending])
    size = len(ending.split())
    near = SequenceMatcher(None, " ".join(bare[-size:]), ending).ratio()
    if near >= _LOOKS_LIKE_ALONE and len(words) == size:
        return ending
    if near >= _LOOKS_LIKE and f" {usual}".endswith(f" {ending}"):
        return " ".join([*words[:-size], ending])
    return text
