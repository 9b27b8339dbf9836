"""How much a spoken sentence gives to hold in mind."""

from __future__ import annotations

import re

from assistant.language.en.wording import NUMBER

_CARD = re.compile(r"(?:have at hand|supplies|spare parts|people needed): (.*)", re.IGNORECASE)
_FRAME = re.compile(
    r"(?:closing )?step .* of .*|stage .* of .*|now: .*|say .*|next goes on|next does .*|the preparation is done"
    r"|before you start|where the maker's manual differs.*|it has .* steps?|timer started.*|the wait is over.*"
    r"|(?:witnessed|released) by .*|this is a gate|who (?:witnesses|releases) .*"
)
"""Sentences of the session that tell the place or what to say, and ask nothing to be kept in mind; in lower case."""
_FOR_THE_EAR = re.compile(r"bolts? .*|at (?:least|most) .*")
"""Sentences of the session whose numbers are parted for the ear already; in lower case."""
_ONE = re.compile(r"\bone\b")
_ANSWER = 2
"""A sentence of at most so many words reads an answer back, or is a signal word."""


def is_frame(sentence: str) -> bool:
    return len(sentence.split()) <= _ANSWER or _FRAME.fullmatch(_bare(sentence).lower()) is not None


def things_told(sentence: str) -> int:
    """Count what is listed; on a card "and" is part of a name."""
    if card := _CARD.fullmatch(sentence):
        return len(card[1].split(", "))
    if _FOR_THE_EAR.fullmatch(sentence.lower()) or "," not in sentence:
        return 1
    return len(re.split(r",\s*(?:and\s+)?|\s+and\s+", _bare(sentence)))


def numbers_told(sentence: str) -> int:
    if _CARD.fullmatch(sentence) or _FOR_THE_EAR.fullmatch(sentence.lower()):
        return 0
    return len(re.findall(rf"\b{NUMBER}\b", _ONE.sub("", sentence.lower())))


def _bare(sentence: str) -> str:
    return sentence.strip().rstrip(".?!:")
