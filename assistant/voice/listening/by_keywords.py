"""What counts of an utterance by the short words that it may end with, beside what is written of it. Pure.

A classifier that was trained by people who say single words, and numbers behind a phrase, tells how likely each of its
words is (:mod:`assistant.voice.adapters.keywords`). Of numbers from zero to twenty it knows more than the engine does,
and of *yes* and *no* whether it was not rather *go*. Of longer phrases it knows nothing: there it is heard only where
it is very sure of a word that is none.

Chosen on people of ``dev`` in quiet and recorded noise of 10, 5 and 0 dB (docs/measurements.md, "Short words").
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from assistant.events import Clarity, Grammar, Heard, SlotKind, Thresholds
from assistant.language.port import Language
from assistant.voice.ports import NO_KEYWORD, Written

NUMBERS_TO = 20
"""Numbers from zero to this one are keywords."""
ENGINE_SHARE = 0.25
"""To this power the engine's chances count beside those of the classifier."""
HEARD_ELSEWHERE = 5
"""Where the engine heard a number, it may have been one of so many others."""
LEAST_BY_BOTH, LEAST_AGREED, LEAST_ALONE = 0.85, 0.7, 0.9
"""So likely must a number be, by both; one that the engine is sure of; one that the classifier alone heard."""
BEFORE = 0.5
"""So likely must what stands before a word be, where the engine did not hear it; before a word alone, nothing."""
NOT_IT, RATHER = 0.06, 0.75
"""A keyword was not said if it is less likely than the first of these, and another one likelier than the second."""
FOUND, FOUND_IF_EXPECTED = 0.9, 0.5
"""So likely must a keyword be that the classifier alone heard; less where the job waits for it."""
LEAST_ANOTHER, LEAST_ANOTHER_IF_SURE = 0.8, 0.95
"""So likely is a keyword, alone, that was said in place of an unsure phrase, or of a number like *fifty*; in place of a
sure phrase without a number, alone or behind what stands before a number."""
_NO_CHANCE = 1e-4
_OTHERS = 0.01
"""What the engine would give to no number at all."""


def number_by_keywords(
    heard: Heard, written: Written, grammar: Grammar, limits: Thresholds, language: Language
) -> Heard | None:
    """Return ``heard`` with the number that it and the keywords together make likeliest; None where it has none.

    Numbers of several words, and with decimals, are no keywords; what is said before a number must be known as well.
    """
    if not written.keywords:
        return None
    numbers = tuple(language.numbers.number_words(number) for number in range(NUMBERS_TO + 1))
    known = _before_numbers(grammar, written)
    told = _number_in(heard, grammar, known, numbers)
    last = max(written.keywords, key=lambda one: written.keywords[one])
    if told is None and last in numbers:
        if heard.clarity is not Clarity.PHRASE or heard.confidence < limits.critical:
            told = _number_behind(heard, written, known)
        elif _is_round(heard, known) and written.keywords[last] >= LEAST_ANOTHER:
            return _unclear(heard)  # fifteen, or fifty?
        elif not grammar.has_number(heard.text) and _number_behind(heard, written, known) is not None:
            return _unclear(heard) if written.keywords[last] >= LEAST_ANOTHER_IF_SURE else None
    if told is None:
        return None
    before, number = told
    may_be = [one for one in numbers if before or one in grammar.values]
    best, sure = _likeliest(may_be, number, heard.confidence, written)
    least = LEAST_BY_BOTH if number else LEAST_ALONE
    if best == number and heard.confidence >= limits.critical:
        least = LEAST_AGREED
    if sure < least:
        return _unclear(heard)
    # One that the engine did not hear is no surer than it must be: a value that is read off is then read back.
    sure = max(sure, limits.moving) if best == number else limits.moving
    return replace(heard, text=f"{before} {best}".strip(), confidence=sure, clarity=Clarity.PHRASE, words=())


def choice_by_keywords(heard: Heard, written: Written, words: Sequence[str]) -> Heard:
    """Return ``heard``, a forced choice of ``words``, with the one that it and the keywords together make likeliest.

    It stays as it is where some of them are no keywords.
    """
    if not words or not set(words) <= written.keywords.keys():
        return heard
    best, sure = _likeliest(words, heard.text if heard.text in words else "", heard.confidence, written)
    return replace(heard, text=best, confidence=sure, clarity=Clarity.PHRASE, words=())


def _likeliest(words: Sequence[str], engine: str, confidence: float, written: Written) -> tuple[str, float]:
    """Return which of ``words`` is likeliest and its share; ``engine`` is the one that the engine heard, or ""."""
    chances = {one: max(written.keywords.get(one, 0.0), _NO_CHANCE) for one in words}
    others = written.keywords.get(NO_KEYWORD, 0.0)
    if engine:
        elsewhere = max((1 - confidence) / HEARD_ELSEWHERE, _NO_CHANCE)
        for one in chances:
            chances[one] *= (confidence if one == engine else elsewhere) ** ENGINE_SHARE
        others *= _OTHERS**ENGINE_SHARE
    best = max(chances, key=lambda one: chances[one])
    return best, chances[best] / (math.fsum(chances.values()) + others)


def word_by_keywords(found: Heard, written: Written, grammar: Grammar, limits: Thresholds, *, agreed: bool) -> Heard:
    """Return what counts of ``found``, which holds no number that is a keyword; ``agreed``: it is written as well."""
    keywords = written.keywords
    word = max((one for one in keywords if one != NO_KEYWORD), key=lambda one: keywords[one], default="")
    likely = keywords.get(word, 0.0)
    is_alone = written.before.get("", 0.0) >= BEFORE
    if found.clarity is not Clarity.PHRASE:
        least = FOUND_IF_EXPECTED if word in grammar.expected else FOUND
        if word not in grammar.phrases or likely < least or not is_alone:
            return found
        return replace(found, text=word, confidence=limits.moving, clarity=Clarity.PHRASE, words=(), words_s=0.0)
    if found.text in keywords:
        was_another = not agreed and keywords[found.text] < NOT_IT and word != found.text and likely > RATHER
    else:
        is_sure = found.confidence >= limits.critical
        may_be = is_alone and not agreed and word not in found.text.split() and found.text not in grammar.expected
        may_be &= not (is_sure and grammar.has_number(found.text))
        was_another = may_be and likely >= (LEAST_ANOTHER_IF_SURE if is_sure else LEAST_ANOTHER)
    return _unclear(found) if was_another else found


def _before_numbers(grammar: Grammar, written: Written) -> list[str]:
    """Return what may stand before a number now, of that what the classifier knows."""
    return [
        slot.before
        for slot in grammar.slots
        if slot.kind is SlotKind.WHOLE and slot.before and not slot.after and slot.before in written.before
    ]


def _number_in(heard: Heard, grammar: Grammar, known: Sequence[str], numbers: Sequence[str]) -> tuple[str, str] | None:
    """Return what stands before the number that the engine heard, and the number, if that may be a keyword."""
    if heard.clarity is not Clarity.PHRASE:
        return None
    if heard.text in grammar.values:
        return ("", heard.text) if heard.text in numbers else None
    inside = ((before, heard.text.removeprefix(f"{before} ")) for before in known)
    return next((one for one in inside if one[1] in numbers and heard.text != one[1]), None)


def _is_round(heard: Heard, known: Sequence[str]) -> bool:
    """Return whether the engine heard a number of one word that is no keyword, where one that is can be said too."""
    inside = (heard.text.removeprefix(f"{before} ") for before in known)
    return heard.clarity is Clarity.PHRASE and any(one != heard.text and " " not in one for one in inside)


def _number_behind(heard: Heard, written: Written, known: Sequence[str]) -> tuple[str, str] | None:
    """Return what stands before a number that the engine did not hear; the number is ""."""
    for before in known:
        if f"{heard.text} ".startswith(f"{before} ") or written.before[before] >= BEFORE:
            return before, ""
    return None


def _unclear(heard: Heard) -> Heard:
    return replace(heard, text="", clarity=Clarity.UNCLEAR, words=())
