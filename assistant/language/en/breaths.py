"""No sentence longer than a breath: what is spoken is cut where a reader would pause, whoever wrote the words."""

from __future__ import annotations

import re

MOST_WORDS = 20
"""Words in a sentence that tells what to do (ASD-STE100 Simplified Technical English, as quoted in writing guides)."""
_LEAST_WORDS = 4
"""A shorter piece would sound like a slip."""
_SENTENCE_END = re.compile(r"(?<=[.?!])\s+")
_STOPS = (";", ":")
_JOINTS = frozenset(("and", "or", "but", "because", "so", "then", "when", "which", "that", "until", "before", "after"))


def breaths(text: str) -> str:
    """Return ``text`` with every sentence of more than MOST_WORDS words cut into several.

    It is cut behind a semicolon or colon, else behind a comma, else before a word that joins, else where breath ends.
    """
    return " ".join(piece for sentence in _SENTENCE_END.split(text) for piece in _pieces(sentence))


def _pieces(sentence: str) -> list[str]:
    words = sentence.split()
    found: list[str] = []
    while len(words) > MOST_WORDS:
        at = _cut(words)
        found.append(" ".join(words[:at]).rstrip(",;:") + ".")
        words = words[at:]
        words[0] = words[0][:1].upper() + words[0][1:]
    return [*found, " ".join(words)]


def _cut(words: list[str]) -> int:
    """Return behind how many words to cut."""
    places = range(MOST_WORDS, _LEAST_WORDS - 1, -1)
    for fits in (
        lambda at: words[at - 1].endswith(_STOPS),
        lambda at: words[at - 1].endswith(","),
        lambda at: words[at].lower() in _JOINTS,
    ):
        if found := next((at for at in places if fits(at)), None):
            return found
    return MOST_WORDS
