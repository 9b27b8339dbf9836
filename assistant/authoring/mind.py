"""What is too much to hold in mind when it is heard once: more than four things, more than one number in a sentence."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.chosen import LANGUAGE

_END = re.compile(r"(?<=[.!?])\s+")


def too_much(turns: Sequence[str]) -> Iterator[str]:
    """Yield a sentence for each thing in ``turns``, each spoken in one breath, that is too much to hold in mind."""
    for sentence, times in Counter(fault for turn in turns for fault in _faults(turn)).items():
        yield sentence if times == 1 else f"{sentence} ({times} times)"


def _faults(turn: str) -> Iterator[str]:
    mind = LANGUAGE.mind
    kept = [one for one in _END.split(turn.strip()) if one and not mind.is_frame(one)]
    if len(kept) > MOST_THINGS:
        first, last = _bare(kept[0]), _bare(kept[-1])
        yield f'{len(kept)} things are said in one breath, from "{first}" to "{last}".'
    for one in kept:
        things, numbers = mind.things_told(one), mind.numbers_told(one)
        if things > MOST_THINGS:
            yield f'{things} things stand in one sentence: "{one}"'
        if numbers > 1:
            yield f'{numbers} numbers stand in one sentence: "{one}"'


def _bare(one: str) -> str:
    return one.strip().rstrip(".?!:")
