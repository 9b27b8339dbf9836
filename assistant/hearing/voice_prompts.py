"""What somebody is asked to say for a profile of their voice: the shortest phrases twice, the others once, counts."""

from __future__ import annotations

from decimal import Decimal

import numpy as np

from assistant.events import Slot, SlotKind
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.voice.own.profile import person_key

MOST_PROMPTS = 60
"""So many phrases are said in three and a half minutes, at three and a half seconds each."""
_TWICE = ("yes", "no", "next", "repeat", "confirmed", "cancel", "help", "where")
_COUNTS = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 13, 30)


def voice_prompts(name: str) -> list[str]:
    """Return what ``name`` is asked to say, always in the same order: whoever breaks off has said some of each kind."""
    phrases = [min(LANGUAGE.phrases.phrases(intent.name), key=_length) for intent in INTENTS if intent.slot is None]
    slot = Slot.of(LANGUAGE.phrases.phrases("count")[0], SlotKind.WHOLE)
    counts = [slot.with_inside(LANGUAGE.numbers.heard_words(Decimal(count))) for count in _COUNTS]
    twice = [LANGUAGE.phrases.phrases(intent)[0] for intent in _TWICE]
    listed = [*twice, *twice, *counts]
    listed = [*listed, *(phrase for phrase in sorted(phrases, key=_length) if phrase not in twice)][:MOST_PROMPTS]
    lot = np.random.default_rng(int(person_key(name), 16))
    return [listed[number] for number in lot.permutation(len(listed))]


def _length(phrase: str) -> tuple[int, int]:
    return len(phrase.split()), len(phrase)
