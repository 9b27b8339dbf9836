"""What the engine is told to listen for: the phrases of a grammar, words that sound like them, the unknown word. Pure.

Words one sound away from a phrase ("foster" for "faster") fit the phrase better than the unknown word does, so no limit
of confidence keeps them out. Where the engine may also hear the word itself, it does, and a word that is no phrase is
not understood.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from assistant.events import Grammar, Slot, SlotKind
from assistant.fastening.numbers import number_phrases, number_vocabulary, parse_number_words

UNKNOWN = "[unk]"
"""The word of the model that stands for anything that is in no phrase."""


def engine_phrases(grammar: Grammar, near: Iterable[str], knows: Callable[[str], bool]) -> list[str]:
    """Return the phrases of ``grammar`` whose words the model ``knows``, and the words ``near`` them.

    The engine lets any word follow any that it followed in a phrase, so a number is given by phrases that hold its
    pairs. The unknown word is not among them: a forced choice does without.
    """
    phrases = [*grammar.phrases]
    for slot in grammar.slots:
        phrases += _slot_phrases(slot)
    words = {word for phrase in phrases for word in phrase.split()}
    known = {word for word in words if knows(word)}
    heard = dict.fromkeys(phrase for phrase in phrases if phrase and known.issuperset(phrase.split()))
    return [*heard, *(word for word in near if word not in words)] if heard else []


def is_phrase(grammar: Grammar, text: str) -> bool:
    """Return whether ``text`` is exactly one whole phrase, with its number where one belongs."""
    return text in grammar.phrases or any(
        text.startswith(slot.prefix + " ") and _fits(slot.kind, text[len(slot.prefix) + 1 :]) for slot in grammar.slots
    )


def _fits(kind: SlotKind, text: str) -> bool:
    number = parse_number_words(text)
    if number is None:
        return False
    return kind is SlotKind.DECIMAL or (number == int(number) and number < 100)


def _slot_phrases(slot: Slot) -> list[str]:
    """Write out a phrase with a number as phrases that together hold every pair of neighbouring words."""
    numbers = number_phrases(slot.kind)
    wholes = [phrase for phrase in numbers.wholes if len(phrase) <= 2]
    listed = [f"{slot.prefix} {' '.join(phrase)}" for phrase in wholes]
    if slot.kind is SlotKind.DECIMAL:
        words = [word for word in number_vocabulary(slot.kind) if word not in numbers.points]
        listed += [" ".join(phrase) for phrase in numbers.wholes if len(phrase) == 3]
        listed += [f"{word} {point}" for word in words for point in numbers.points]
        listed += [f"{point} {' '.join(digits)}" for point in numbers.points for digits in numbers.decimals]
    return listed
