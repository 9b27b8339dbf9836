"""What may have been meant by words that are no phrase: those of the present phrases that are most like them.

It is only told, and never done. A critical phrase is never told: nobody shall have such a word put into his mouth.
"""

from __future__ import annotations

import difflib
from functools import lru_cache

from assistant.events import SlotKind, Weight
from assistant.language.port import Language
from assistant.session.here import Here
from assistant.session.intents import BY_NAME, WORDS
from assistant.session.named import spoken_names
from assistant.session.understanding import accepted

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
    """Return at most two phrases that may have been meant by ``text``, best first.

    They are the usual ways to say those two intents of which any phrase is most like it: what was misheard once is
    better said another way.
    """
    said = " ".join(text.lower().split())
    if not said or len(said.split()) > _MOST_WORDS:
        return ()
    return _nearest(said, _phrases(here, language))


def _phrases(here: Here, language: Language) -> tuple[tuple[str, str, str, bool], ...]:
    """Return every phrase that may be said now, with its intent, what is told of it, and whether that may be told."""
    found: list[tuple[str, str, str, bool]] = []
    for name in accepted(here):
        if name == WORDS:
            continue
        intent, said = BY_NAME[name], language.phrases.phrases(name)
        tells = intent.weight is not Weight.CRITICAL
        if intent.slot is SlotKind.NAME:
            names = spoken_names(name, here, language)
            found += [
                (phrase.replace("{}", one), f"{name} {one}", said[0].replace("{}", one), tells)
                for phrase in said
                for one in names
            ]
        else:
            usual = said[0] if intent.slot is None else language.questions.with_slot(said[0])
            found += [(phrase.replace("{}", ""), name, usual, tells) for phrase in said]
    return tuple(found)


@lru_cache(maxsize=64)
def _nearest(said: str, phrases: tuple[tuple[str, str, str, bool], ...]) -> tuple[str, ...]:
    best: dict[str, tuple[float, str]] = {}
    for phrase, what, usual, may_be_told in phrases:
        score = _likeness(said, phrase)
        if score >= _NEAR and may_be_told and score > best.get(what, (0.0, ""))[0]:
            best[what] = score, usual
    ranked = sorted(best.values(), key=lambda one: -one[0])
    return tuple(usual for _, usual in ranked[:MOST_MEANT])


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
