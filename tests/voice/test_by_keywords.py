"""What the short words that a sound may end with change: the rule alone."""

from __future__ import annotations

import pytest

from assistant.events import Clarity, Grammar, Heard, Slot, SlotKind, Thresholds
from assistant.language.chosen import LANGUAGE
from assistant.voice.listening.by_keywords import choice_by_keywords
from assistant.voice.listening.second_opinion import second_look
from assistant.voice.ports import Written

LIMITS = Thresholds(0.6, 0.75, 0.9)
GRAMMAR = Grammar(
    ("yes", "no", "why", "go back", "two point five", "two"),
    (
        Slot("count", SlotKind.WHOLE),
        Slot("operator", SlotKind.WHOLE),
        Slot("bolt", SlotKind.WHOLE, "is lost"),
        Slot("reading", SlotKind.DECIMAL),
    ),
    values=frozenset({"two", "two point five"}),
)
WORDS = ("*", "yes", "no", "go", "two", "three", "nine", "thirteen", "fifteen")


def heard(text: str = "", confidence: float = 1.0, clarity: Clarity = Clarity.PHRASE) -> Heard:
    return Heard(text, confidence, 10.0, 10.6, clarity)


def counts(
    one: Heard, word: str, chance: float, *, before: str = "", written: str = "", grammar: Grammar = GRAMMAR
) -> tuple[str, Clarity]:
    """Return what counts where ``word`` has ``chance``, the others share the rest, and ``before`` stands before it."""
    rest = (1 - chance) / (len(WORDS) - 1)
    keywords = {other: chance if other == word else rest for other in WORDS}
    told = Written(written, (0.0,), 0.0, keywords, {**dict.fromkeys(("", "*", "count"), 0.05), before: 0.9})
    found = second_look(one, told, grammar, LIMITS, LANGUAGE)
    sure = found.confidence >= LIMITS.moving
    return (found.text if sure else "", found.clarity if sure else Clarity.UNCLEAR)


PHRASE, UNCLEAR = Clarity.PHRASE, Clarity.UNCLEAR


@pytest.mark.parametrize(
    ("one", "word", "chance", "what"),
    [
        (heard("count two", 0.6), "two", 0.9, "count two"),
        (heard("count two", 0.6), "three", 0.97, "count three"),
        (heard("count two", 1.0), "three", 0.7, ""),
        (heard("count two", 1.0), "*", 0.9, ""),
        (heard("count fifty", 1.0), "fifteen", 0.9, ""),
        (heard("count fifty", 1.0), "*", 0.9, "count fifty"),
        (heard("count fifty", 0.8), "fifteen", 0.95, "count fifteen"),
        (heard("count twenty one", 1.0), "nine", 0.9, "count twenty one"),
        (heard("bolt two is lost", 1.0), "three", 0.99, "bolt two is lost"),
        (heard("operator two", 1.0), "three", 0.99, "operator two"),
    ],
)
def test_a_number_behind_its_phrase_is_what_both_make_likeliest(
    one: Heard, word: str, chance: float, what: str
) -> None:
    assert counts(one, word, chance)[0] == what


def test_a_number_counts_that_the_engine_missed_where_what_stands_before_it_is_known() -> None:
    missed = heard("", 1.0, Clarity.SPEECH)
    assert counts(missed, "two", 0.95, before="count") == ("count two", PHRASE)
    assert counts(missed, "two", 0.85, before="count")[0] == "", "alone it must be surer"
    assert counts(missed, "two", 0.95, before="*")[0] == ""
    assert counts(heard("count knew", 0.4, Clarity.UNCLEAR), "two", 0.95)[0] == "count two"
    assert counts(heard("why", 1.0), "two", 0.93, before="count")[0] == "why", "the engine is sure of another phrase"
    assert counts(heard("why", 1.0), "two", 0.97, before="count")[0] == "", "so sure that nothing counts"


def test_a_value_that_is_read_off_is_read_back_where_they_differ_or_asked_for() -> None:
    assert counts(heard("two", 0.8), "two", 0.9)[0] == "two"
    assert counts(heard("two", 0.8), "three", 0.95)[0] == "", "three cannot be read off here"
    assert counts(heard("reading two", 0.8), "three", 0.95)[0] == "", (
        "it may have had decimals: no keyword takes its place"
    )


def test_a_word_is_left_alone_where_another_one_was_said() -> None:
    assert counts(heard("no", 0.95), "go", 0.95)[1] is UNCLEAR
    assert counts(heard("no", 0.95), "go", 0.7) == ("no", PHRASE)
    assert counts(heard("no", 0.95), "go", 0.95, written="No.") == ("no", PHRASE), "both others heard it"
    assert counts(heard("why", 0.8), "nine", 0.9)[1] is UNCLEAR
    assert counts(heard("why", 1.0), "nine", 0.9) == ("why", PHRASE)
    assert counts(heard("why", 1.0), "nine", 0.97)[1] is UNCLEAR
    assert counts(heard("why", 1.0), "nine", 0.97, written="Why?") == ("why", PHRASE)
    assert counts(heard("why", 1.0), "nine", 0.97, before="*") == ("why", PHRASE), "it is the end of something else"
    assert counts(heard("go back", 0.8), "go", 0.9) == ("go back", PHRASE)


def test_a_word_counts_that_only_the_classifier_heard_sooner_where_the_job_waits_for_it() -> None:
    missed = heard("", 1.0, Clarity.SPEECH)
    assert counts(missed, "no", 0.95) == ("no", PHRASE)
    assert counts(missed, "no", 0.6)[0] == ""
    waits = Grammar(GRAMMAR.phrases, GRAMMAR.slots, values=GRAMMAR.values, expected=("yes", "no"))
    assert counts(missed, "no", 0.6, grammar=waits) == ("no", PHRASE)
    assert counts(missed, "go", 0.99)[0] == "", "nobody can say it now"


def test_a_forced_choice_is_made_with_it_where_it_knows_all_words() -> None:
    told = Written("", (), 0.0, dict.fromkeys(WORDS, 0.05) | {"go": 0.6})
    assert choice_by_keywords(heard("no", 0.6), told, ("no", "go")).text == "go"
    assert choice_by_keywords(heard("no", 0.6), told, ("no", "go", "stop")).text == "no"
    assert choice_by_keywords(heard("no", 0.6), Written(""), ("no", "go")).text == "no"


def test_without_a_classifier_all_is_as_it_was() -> None:
    one = heard("count two", 0.8)
    assert second_look(one, Written("Nonsense."), GRAMMAR, LIMITS, LANGUAGE) == one
