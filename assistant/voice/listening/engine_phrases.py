"""What the engine is told to listen for: the phrases of a grammar, words that sound like them, the unknown word. Pure.

Words one sound away from a phrase ("foster" for "faster") fit the phrase better than the unknown word does, so no limit
of confidence keeps them out. Where the engine may also hear the word itself, it does, and a word that is no phrase is
not understood.
"""

from __future__ import annotations

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


def engine_phrases(
    grammar: Grammar, numbers: Numbers, near: Iterable[str], knows: Callable[[str], bool], *, closed: bool = False
) -> list[str]:
    """Return what the engine listens for: the phrases of ``grammar`` whose words the model ``knows``, and what else.

    That is the words ``near`` them and the unknown word. A ``closed`` choice does without, if there is any phrase. The
    engine counts how often it is told something, and lets any word follow any that it followed in a phrase: so a number
    is given by phrases that hold its pairs.
    """
    written = [phrase for slot in grammar.slots for phrase in _slot_phrases(slot, numbers)]
    words = {word for phrase in (*grammar.phrases, *written) for word in phrase.split()}
    known = {word for word in words if knows(word)}
    phrases = [*dict.fromkeys(p for p in grammar.phrases if p and known.issuperset(p.split()))]
    counted = [*dict.fromkeys(p for p in written if known.issuperset(p.split()))]
    likely = [phrase for slot in grammar.slots for phrase in _likely(slot) if known.issuperset(phrase.split())]
    if closed and (phrases or counted):
        return [*phrases, *counted]
    others = [word for word in near if word not in words] if phrases or counted else []
    if not others:
        return [*phrases, *counted, *likely * LIKELIER, UNKNOWN]
    return [*[*phrases, UNKNOWN] * OFTENER, *[*counted, *likely * LIKELIER] * NUMBERS_OFTENER, *others]


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
    listed = [slot.with_inside(" ".join(phrase)) for phrase in wholes]
    if slot.kind is not SlotKind.WHOLE:
        words = [word for word in numbers.number_vocabulary(slot.kind) if word not in said.points]
        listed += [" ".join(phrase) for phrase in said.wholes if len(phrase) == 3]
        listed += [f"{word} {point}" for word in words for point in said.points]
        listed += [
            f"{point} {' '.join(digits)} {slot.after}".strip() for point in said.points for digits in said.decimals
        ]
    listed += [f"{word} {ending}" for word in numbers.number_vocabulary(slot.kind) for ending in slot.endings]
    return tuple(listed)
