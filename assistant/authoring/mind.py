"""What is too much to hold in mind when it is heard once: more than four things, more than one number in a sentence."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.wording import NUMBER

_END = re.compile(r"(?<=[.!?])\s+")
_CARD = re.compile(r"(?:have at hand|supplies|spare parts|people needed): (.*)", re.IGNORECASE)
_FRAME = re.compile(
    r"(?:closing )?step .* of .*|stage .* of .*|now: .*|say .*|next goes on|next does .*|the preparation is done"
    r"|before you start|where the maker's manual differs.*|it has .* steps?|timer started.*|the wait is over.*"
)
"""Sentences of the session that tell the place or what to say, and ask nothing to be kept in mind; in lower case."""
_FOR_THE_EAR = re.compile(r"bolts? .*|at (?:least|most) .*")
"""Sentences of the session whose numbers are parted for the ear already; in lower case."""
_ONE = re.compile(r"\bone\b")
_ANSWER = 2
"""A sentence of at most so many words reads an answer back, or is a signal word."""


def too_much(turns: Sequence[str]) -> Iterator[str]:
    """Yield a sentence for each thing in ``turns``, each spoken in one breath, that is too much to hold in mind."""
    for sentence, times in Counter(fault for turn in turns for fault in _faults(turn)).items():
        yield sentence if times == 1 else f"{sentence} ({times} times)"


def _faults(turn: str) -> Iterator[str]:
    kept = [one for one in _END.split(turn.strip()) if one and not _frame(one)]
    if len(kept) > MOST_THINGS:
        first, last = _bare(kept[0]), _bare(kept[-1])
        yield f'{len(kept)} things are said in one breath, from "{first}" to "{last}".'
    for one in kept:
        things = _things(one)
        if things > MOST_THINGS:
            yield f'{things} things stand in one sentence: "{one}"'
        if not _CARD.fullmatch(one) and not _FOR_THE_EAR.fullmatch(one.lower()):
            numbers = re.findall(rf"\b{NUMBER}\b", _ONE.sub("", one.lower()))
            if len(numbers) > 1:
                yield f'{len(numbers)} numbers stand in one sentence: "{one}"'


def _things(one: str) -> int:
    """Return how many things a sentence lists; on a card "and" is part of a name."""
    if card := _CARD.fullmatch(one):
        return len(card[1].split(", "))
    if _FOR_THE_EAR.fullmatch(one.lower()) or "," not in one:
        return 1
    return len(re.split(r",\s*(?:and\s+)?|\s+and\s+", _bare(one)))


def _frame(one: str) -> bool:
    return len(one.split()) <= _ANSWER or _FRAME.fullmatch(_bare(one).lower()) is not None


def _bare(one: str) -> str:
    return one.strip().rstrip(".?!:")
