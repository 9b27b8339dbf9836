"""A second opinion on a short utterance: when it is asked for, and what counts then. Pure.

The writer of notes hears single words of people whom nobody trained on better than the engine of the phrases does, and
knows nothing of phrases. What the engine is unsure of counts if the writer
wrote exactly one phrase that can be said now: as surely as a moving one must be heard, so never a critical one.

Chosen on people of ``dev`` and synthetic voices (docs/measurements.md, "A second opinion"), in quiet and recorded noise
of 10, 5 and 0 dB, all phrases open: of 71 *yes* and *no* 96 / 94 / 96 / 90 % were right in place of 90 / 89 / 82 / 72,
and of 350 other words 0.6 / 1.1 / 1.7 / 1.7 % taken for a phrase in place of 0.3 / 1.1 / 2.0 / 3.4. Of phrases in noise
the writer knows less than of short words, so by its words alone it refuses none but where it wrote another one, and
those that others are often taken for; of numbers it knows less than the engine, so it never makes another one of one.

A phrase that the engine is sure of is asked about as well, if it holds no number: talk that is taken for a phrase is
written as something else that is far likelier. How much likelier counts, not which letters: of *use newton metres* in a
synthetic voice "use little labors" was written, in doubt; of "Richmond was a", taken for *which bolt*, nothing like it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from difflib import SequenceMatcher

from assistant.events import Clarity, Grammar, Heard, Thresholds
from assistant.language.port import Language
from assistant.voice.listening.by_keywords import number_by_keywords, word_by_keywords
from assistant.voice.listening.engine_phrases import is_whole_phrase
from assistant.voice.ports import Written

ASKED_MOST_S = 3.0
"""Longer utterances [s] are not asked about: no phrase that is short takes so long, and talk does."""
LIKE = 0.6
"""So many of the letters (0 to 1) must be those of a phrase that other words are often taken for: "what" is not *why*
(0.57), "why do" may be (0.67)."""
DOUBT, DOUBT_IN_NOISE = 1.1, 1.5
"""So much likelier for each letter of a phrase [nats] must be what is written, for the phrase not to have been said."""
DOUBT_IF_UNSURE, LEAST_DOUBT_IF_UNSURE = 0.8, 4.5
"""The same for a phrase that was heard less surely than a critical one must be: least in all, in noise too."""
LEAST_DOUBT, LEAST_DOUBT_IN_NOISE = 5.0, 8.0
"""And so much in all [nats]: of short words the letters say little. It is enough where another phrase is written."""
LEAST_CHANCE_OF_A_WORD, LEAST_CHANCE = -2.4, -3.0
"""The log of the chance [nats] of a phrase that only the writer heard, of one word and of more, at least: of one for
which the job waits, any is enough."""
SAID_AGAIN_S = 10.0
"""Whoever says within this time [s] again what was kept out is believed: a voice that the writer does not know."""
_MOST_DIGITS = 8
"""No number that is longer is said to the assistant."""
_WORDS = re.compile(r"\d+(?:\.\d+)?|\.\d+|[^\W\d_]+(?:'[^\W\d_]+)*")


def is_asked(heard: Heard, grammar: Grammar, limits: Thresholds) -> bool:
    """Return whether ``heard`` is worth a second opinion.

    That is all that is short but a value that was surely heard and read off: it has decimals, or is read back.
    """
    if grammar.dictation or heard.ended_at - heard.started_at > ASKED_MOST_S:
        return False
    if heard.clarity is not Clarity.PHRASE or heard.confidence < limits.critical:
        return True
    return not grammar.has_reading(heard.text)


def doubt_counts(heard: Heard, written: Written, grammar: Grammar, language: Language) -> bool:
    """Return whether it counts how much likelier ``written`` is than what was heard; weighing that takes some time."""
    if heard.clarity is not Clarity.PHRASE or grammar.has_number(heard.text):
        return False
    phrase = phrase_in(written.text, grammar, language)
    return not (phrase and _mean_the_same(phrase, heard.text, grammar))


def second_look(
    heard: Heard, written: Written, grammar: Grammar, limits: Thresholds, language: Language, *, noisy: bool = False
) -> Heard:
    """Return what counts of ``heard`` where ``written`` is what the writer made of the same sound.

    ``written`` tells how much likelier that is than the phrase that was heard, and how likely some short words are;
    ``noisy``, whether noise may have led the writer astray, and nobody talks.
    """
    number = number_by_keywords(heard, written, grammar, limits, language)
    if number is not None:
        return number
    phrase = phrase_in(written.text, grammar, language)
    found = _by_what_is_written(heard, written, phrase, grammar, limits, language, noisy=noisy)
    agreed = found.text == heard.text == phrase
    return word_by_keywords(found, written, grammar, limits, agreed=agreed)


def _by_what_is_written(
    heard: Heard,
    written: Written,
    phrase: str,
    grammar: Grammar,
    limits: Thresholds,
    language: Language,
    *,
    noisy: bool,
) -> Heard:
    """Return what counts of ``heard`` where what is ``written`` is this ``phrase``, or "" for none."""
    if heard.clarity is not Clarity.PHRASE:
        likely = LEAST_CHANCE if " " in phrase else LEAST_CHANCE_OF_A_WORD
        counts = phrase and (written.chance >= likely or phrase in grammar.expected)
        return _as(phrase, heard, limits.moving) if counts else heard
    if phrase and _mean_the_same(phrase, heard.text, grammar):
        agreed = limits.moving if grammar.has_reading(heard.text) else limits.critical
        return replace(heard, confidence=max(heard.confidence, agreed))
    if grammar.has_number(heard.text):
        return heard  # of numbers the writer knows less than the engine
    is_other = _is_often_wrong(heard.text, limits) and _likeness(as_words(written.text, language), heard.text) < LIKE
    if heard.confidence < limits.critical:
        if heard.text in grammar.expected and not phrase:
            return heard  # it is asked back
        is_other |= bool(phrase)
        enough = max(LEAST_DOUBT_IF_UNSURE, DOUBT_IF_UNSURE * len(heard.text))
    else:
        each, least = (DOUBT_IN_NOISE, LEAST_DOUBT_IN_NOISE) if noisy else (DOUBT, LEAST_DOUBT)
        enough = least if phrase else max(least, each * len(heard.text))
    if is_other or any(doubt > enough for doubt in written.doubts):
        return replace(heard, text="", clarity=Clarity.UNCLEAR, words=())
    return heard


def phrase_in(written: str, grammar: Grammar, language: Language) -> str:
    """Return the phrase that ``written`` is, from its first to its last word; "" where it is none."""
    text = said_once(as_words(written, language))
    alike = language.notes.written_numbers()
    ways = (text, " ".join(alike.get(word, word) for word in text.split()))
    return next((way for way in ways if way and is_whole_phrase(grammar, way, language.numbers)), "")


def as_words(written: str, language: Language) -> str:
    """Return ``written`` as the engine of the phrases would write it: small letters, numbers in words, no marks."""
    found = _WORDS.findall(written.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))
    is_number = [one[-1].isdigit() and len(one) <= _MOST_DIGITS for one in found]
    return " ".join(
        language.numbers.heard_words(Decimal(one)) if number else one.lower()
        for one, number in zip(found, is_number, strict=True)
    )


def said_once(text: str) -> str:
    """Return the words of ``text`` once where they are nothing but the same again and again.

    >>> said_once("no no no"), said_once("count two count two"), said_once("no no yes")
    ('no', 'count two', 'no no yes')
    """
    words = text.split()
    for size in range(1, len(words) // 2 + 1):
        if len(words) % size == 0 and words == words[:size] * (len(words) // size):
            return " ".join(words[:size])
    return text


def _as(phrase: str, heard: Heard, confidence: float) -> Heard:
    return replace(heard, text=phrase, confidence=confidence, clarity=Clarity.PHRASE, words=(), words_s=0.0)


def _is_often_wrong(phrase: str, limits: Thresholds) -> bool:
    """Return whether other words are taken for ``phrase`` so often that its limit had to be raised."""
    own = limits.phrases.get(phrase)
    return own is not None and own.believed > limits.critical


def _likeness(words: str, phrase: str) -> float:
    """Return which share of the letters of both are alike (0 to 1); 1 where nothing was written."""
    return SequenceMatcher(None, said_once(words), phrase).ratio() if words else 1.0


def _mean_the_same(phrase: str, other: str, grammar: Grammar) -> bool:
    return phrase == other or any(phrase in alike and other in alike for alike in grammar.alike)
