"""A phrase may hold its number, or a name of the job, anywhere."""

from __future__ import annotations

from assistant.events import Grammar, Slot, SlotKind
from assistant.language.en import ENGLISH
from assistant.voice.listening.engine_phrases import engine_phrases, is_whole_phrase

BROKE = Slot.of("bolt {} broke", SlotKind.WHOLE)
COUNT = Slot.of("count", SlotKind.WHOLE)


def test_a_number_stands_where_the_phrase_has_its_place_or_else_at_its_end() -> None:
    grammar = Grammar((), (BROKE, COUNT))
    for text in ("bolt five broke", "bolt twenty two broke", "count twelve"):
        assert is_whole_phrase(grammar, text, ENGLISH.numbers), text
    for text in (
        "bolt broke",
        "bolt five",
        "bolt many broke",
        "count",
        "count broke",
        "five broke",
        "bolt five broke off",
    ):
        assert not is_whole_phrase(grammar, text, ENGLISH.numbers), text


def test_the_engine_is_told_every_number_with_the_words_on_both_sides() -> None:
    told = engine_phrases(Grammar((), (BROKE,)), ENGLISH.numbers, (), str.isalpha, closed=True)
    assert {"bolt five broke", "bolt ninety nine broke"} <= set(told)
    assert all(phrase.startswith("bolt ") and phrase.endswith(" broke") for phrase in told)


def test_a_bare_number_can_be_a_phrase() -> None:
    grammar = Grammar((), (Slot.of("{}", SlotKind.DECIMAL),))
    assert is_whole_phrase(grammar, "zero point two five", ENGLISH.numbers)
    assert not is_whole_phrase(grammar, "hello", ENGLISH.numbers)
