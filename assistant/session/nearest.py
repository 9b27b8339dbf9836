"""What may have been meant by words that are no phrase: those of the present phrases that are most like them.

It is only told, and never done. A critical phrase is never told: nobody shall have such a word put into his mouth.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from functools import lru_cache

from assistant.events import Grammar, SlotKind, Weight
from assistant.language.port import Language
from assistant.session.here import Here
from assistant.session.intents import BY_NAME, WORDS
from assistant.session.named import spoken_names
from assistant.session.understanding import accepted, grammar

MOST_MEANT = 2
"""So many phrases are told: two can be told apart by ear."""
_NEAR = 0.7
"""How like a phrase words must be: the greater of the share of letters that both have in order (difflib), and the share
of words that both have. Ours, tried on slips of a letter and on what the recogniser heard for phrases in noise."""
_ALIKE = 0.75
"""How like one another two words must be to count as the same."""
_MOST_WORDS = 7
"""Longer speech is no command."""


def nearest(text: str, here: Here, language: Language) -> tuple[str, ...]:
    """Return at most two of the present phrases that are most like ``text``, each of another intent, best first."""
    said = " ".join(text.lower().split())
    if not said or len(said.split()) > _MOST_WORDS:
        return ()
    return _nearest(said, grammar(here, language), _phrases(here, language))


def _phrases(here: Here, language: Language) -> tuple[tuple[str, str, bool], ...]:
    """Return every phrase that may be said now, as it is told, with its intent, and whether it may be told at all."""
    found = []
    for name in accepted(here):
        if name == WORDS:
            continue
        intent = BY_NAME[name]
        for phrase in language.phrases.phrases(name):
            if intent.slot is SlotKind.NAME:
                told: Iterable[str] = (phrase.replace("{}", one) for one in spoken_names(name, here, language))
            else:
                told = (phrase if intent.slot is None else language.questions.with_slot(phrase),)
            found += [(one, name, intent.weight is not Weight.CRITICAL) for one in told]
    return tuple(found)


@lru_cache(maxsize=64)
def _nearest(said: str, _: Grammar, phrases: tuple[tuple[str, str, bool], ...]) -> tuple[str, ...]:
    best: dict[str, tuple[float, str]] = {}
    for phrase, intent, may_be_told in phrases:
        score = _likeness(said, phrase)
        if score >= _NEAR and may_be_told and score > best.get(intent, (0.0, ""))[0]:
            best[intent] = score, phrase
    ranked = sorted(best.values(), key=lambda one: -one[0])
    return tuple(phrase for _, phrase in ranked[:MOST_MEANT])


def _likeness(one: str, other: str) -> float:
    """Return how like one another two texts are, from 0 to 1."""
    letters = difflib.SequenceMatcher(None, one, other, autojunk=False)
    if letters.real_quick_ratio() < _NEAR and not set(one.split()) & set(other.split()):
        return 0.0
    words, left = one.split(), other.split()
    both = 0
    for word in words:
        match = difflib.get_close_matches(word, left, 1, _ALIKE)
        if match:
            left.remove(match[0])
            both += 1
    return max(letters.ratio(), 2 * both / (len(words) + len(other.split())))
