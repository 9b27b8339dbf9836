"""What the engine is told to listen for: the phrases of a grammar, words that sound like them, the unknown word. Pure.

Words one sound away from a phrase ("foster" for "faster") fit the phrase better than the unknown word does, so no limit
of confidence keeps them out. Where the engine may also hear the word itself, it does, and a word that is no phrase is
not understood.

The engine lets any word follow any that it followed in a phrase. With the words of all phrases together it would hear
rows of words that nobody says: "zero is a problem", of *there is a problem* and *bolt zero is lost*. So each phrase has
words of its own where the model has twins of them: other names for the same sounds. What is heard then is a phrase from
its first to its last word, or none. The names of twins are for the engine; nobody else sees them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from assistant.events import Grammar, Slot, SlotKind
from assistant.language.topics.trade import Numbers

UNKNOWN = "[unk]"
"""The word of the model that stands for anything that is in no phrase."""


OFTENER = 8
"""So many times likelier is a phrase than a word near it. Chosen on ``dev`` (models/README.md): phrases are heard as
well as without near words, and near words are taken for phrases a third as often or less."""

NUMBERS_OFTENER = 2
"""The same for phrases with a number, which weigh more by themselves: there are hundreds that begin alike."""

LIKELIER = 4
"""So many times likelier than other numbers are those that a slot names as likely. With all numbers alike, digits of a
number with three decimals were lost; tried on five voices (docs/measurements.md)."""

TWIN = "_"
"""Stands between a word and the number of a twin of it, in the words of a model: ``is_3``."""
_TWIN = re.compile(rf"{TWIN}\d+\b")


def twin(word: str, number: int) -> str:
    """Return the name of the twin of ``word`` with this ``number``, from 1."""
    return f"{word}{TWIN}{number}"


def as_said(text: str) -> str:
    """Return what the engine heard as people say it: each twin as the word whose sounds it has.

    >>> as_said("there_1 is_12 a_3 problem_1"), as_said("next")
    ('there is a problem', 'next')
    """
    return _TWIN.sub("", text)


def engine_phrases(
    grammar: Grammar, numbers: Numbers, near: Iterable[str], knows: Callable[[str], bool], *, closed: bool = False
) -> list[str]:
    """Return what the engine listens for: the phrases of ``grammar`` whose words the model ``knows``, and what else.

    That is the words ``near`` them and the unknown word. A ``closed`` choice does without, if there is any phrase. The
    engine counts how often it is told something, and lets any word follow any that it followed in a phrase: so a number
    is given by phrases that hold its pairs, and each phrase of several words by twins of them, as far as there are any.
    """
    in_slots = [(_slot_phrases(slot, numbers), tuple(_likely(slot))) for slot in grammar.slots]
    written = [phrase for every, _ in in_slots for phrase in every]
    words = {word for phrase in (*grammar.phrases, *written) for word in phrase.split()}
    twins = _Twins(knows, frozenset(filter(knows, words)))
    counted: list[str] = []
    likely: list[str] = []
    for every, sooner in in_slots:
        own: dict[str, str] = {}
        counted += twins.of_all(every, own)
        likely += twins.of_all(sooner, own)
    values: dict[str, str] = {}
    phrases = [
        said
        for one in dict.fromkeys(filter(None, grammar.phrases))
        for said in twins.of_all([one], values if one in grammar.values else {})
    ]
    if closed and (phrases or counted):
        return [*phrases, *counted]
    others = [word for word in near if word not in words] if phrases or counted else []
    if not others:
        return [*phrases, *counted, *likely * LIKELIER, UNKNOWN]
    return [*[*phrases, UNKNOWN] * OFTENER, *[*counted, *likely * LIKELIER] * NUMBERS_OFTENER, *others]


class _Twins:
    """Gives each phrase words of its own: the next twins that the model knows; where it has no more, the words."""

    def __init__(self, knows: Callable[[str], bool], known: frozenset[str]) -> None:
        self._knows, self._known = knows, known
        self._given: Counter[str] = Counter()

    def of_all(self, phrases: Iterable[str], own: dict[str, str]) -> list[str]:
        """Return each of ``phrases`` once in ``own`` words of theirs, which grow; without those with a strange word."""
        known = (phrase.split() for phrase in dict.fromkeys(phrases) if self._known.issuperset(phrase.split()))
        return [" ".join(self._own(word, own) for word in words) if len(words) > 1 else words[0] for words in known]

    def _own(self, word: str, own: dict[str, str]) -> str:
        if word not in own:
            name = twin(word, self._given[word] + 1)
            self._given[word] += 1
            own[word] = name if self._knows(name) else word
        return own[word]


def _likely(slot: Slot) -> Iterator[str]:
    """Yield the likely numbers of a slot in its phrase, each with and without its unit."""
    for number in slot.likely:
        said = slot.with_inside(number)
        yield said
        yield from (f"{said} {ending}" for ending in slot.endings)


def is_whole_phrase(grammar: Grammar, text: str, numbers: Numbers) -> bool:
    """Return whether ``text`` is exactly one whole phrase, with its number where one belongs."""
    return text in grammar.phrases or any(
        inside is not None and _fits(slot.kind, inside, numbers)
        for slot in grammar.slots
        for inside in (slot.inside(text),)
    )


def _fits(kind: SlotKind, text: str, numbers: Numbers) -> bool:
    number = numbers.parse_number_words(text)
    if number is None:
        return False
    return number == round(number, kind.decimals) and (kind is not SlotKind.WHOLE or number < 100)


def _slot_phrases(slot: Slot, numbers: Numbers) -> tuple[str, ...]:
    """Write out a phrase with a number as phrases that together hold every pair of neighbouring words."""
    said = numbers.number_phrases(slot.kind)
    wholes = [phrase for phrase in said.wholes if len(phrase) <= 2]
    inside = [" ".join(phrase) for phrase in wholes]
    if slot.kind is not SlotKind.WHOLE:
        words = [word for word in numbers.number_vocabulary(slot.kind) if word not in said.points]
        inside += [" ".join(phrase) for phrase in said.wholes if len(phrase) == 3]
        inside += [f"{word} {point}" for word in words for point in said.points]
        inside += [f"{point} {' '.join(digits)}" for point in said.points for digits in said.decimals]
    inside += [f"{word} {ending}" for word in numbers.number_vocabulary(slot.kind) for ending in slot.endings]
    # A part of a number alone would be heard without the words before it: of "repeat" it would be "thirteen".
    return tuple(slot.with_inside(words) for words in inside)
