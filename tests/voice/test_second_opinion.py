"""What a second opinion changes: the rule alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from assistant.events import Clarity, Grammar, Heard, PhraseLimits, Slot, SlotKind, Thresholds
from assistant.language.chosen import LANGUAGE
from assistant.voice.listening.second_opinion import (
    as_words,
    is_asked,
    phrase_in,
    said_once,
    second_look,
)
from assistant.voice.ports import RATE, Written
from tests.voice.people import in_room, silence
from tests.voice.test_endpoint import tone

LIMITS = Thresholds(0.6, 0.75, 0.9, phrases={"why": PhraseLimits(0.95, 0.95, 0.45)})
GRAMMAR = Grammar(
    ("next", "no", "yes", "repeat", "why", "confirmed", "confirm", "what is left"),
    (Slot("count", SlotKind.WHOLE), Slot("reading", SlotKind.DECIMAL)),
    alike=(("confirmed", "confirm"),),
)
SOUND = np.full(RATE // 2, 100, dtype=np.int16)
WORD = in_room(silence(1), tone(0.4, -15.0), silence(0.7))


def heard(text: str = "", confidence: float = 1.0, clarity: Clarity = Clarity.PHRASE, seconds: float = 0.6) -> Heard:
    return Heard(text, confidence, 10.0, 10.0 + seconds, clarity)


NOTHING = heard("nah", 0.5, Clarity.UNCLEAR)


def counts(one: Heard, written: str, *doubts: float, noisy: bool = False) -> tuple[str, Clarity, float]:
    found = second_look(one, Written(written, doubts), GRAMMAR, LIMITS, LANGUAGE, noisy=noisy)
    return found.text, found.clarity, found.confidence


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("No.", "no"),
        ("Count 2.", "count two"),
        ("Reading 0.45.", "reading zero point four five"),
        ("Reading .5", "reading zero point five"),
        ("Twenty-four", "twenty four"),
        ("What\N{RIGHT SINGLE QUOTATION MARK}s left?", "what's left"),
        ("?!", ""),
        ("9" * 400, "9" * 400),
    ],
)
def test_what_is_written_is_put_as_it_is_heard(written: str, words: str) -> None:
    assert as_words(written, LANGUAGE) == words


def test_what_a_writer_writes_again_and_again_was_said_once() -> None:
    assert [said_once(text) for text in ("no no no", "count two count two", "no no yes", "")] == [
        "no", "count two", "no no yes", "",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("written", "phrase"),
    [
        ("Yes. Yes.", "yes"),
        ("Count to.", "count two"),
        ("Count 12", "count twelve"),
        ("reading thirty-five point five", "reading thirty five point five"),
        ("Yes, I know.", ""),
        ("No way.", ""),
        ("Count", ""),
        ("Count 120.", ""),
        ("", ""),
    ],
)
def test_only_a_whole_phrase_that_can_be_said_now_is_one(written: str, phrase: str) -> None:
    assert phrase_in(written, GRAMMAR, LANGUAGE) == phrase


def test_what_was_no_phrase_counts_as_surely_as_a_moving_one_and_never_as_a_critical_one() -> None:
    assert counts(NOTHING, "No.") == ("no", Clarity.PHRASE, LIMITS.moving)
    assert counts(heard("", 1.0, Clarity.SPEECH), "Yes, yes.") == ("yes", Clarity.PHRASE, LIMITS.moving)
    text, _, confidence = counts(NOTHING, "Confirmed.")
    assert (text, confidence < LIMITS.critical) == ("confirmed", True)
    assert counts(NOTHING, "Number.") == (NOTHING.text, Clarity.UNCLEAR, NOTHING.confidence)


def test_a_phrase_that_both_heard_is_as_sure_as_a_critical_one() -> None:
    assert counts(heard("next", 0.4), "Next.") == ("next", Clarity.PHRASE, LIMITS.critical)
    assert counts(heard("next", 0.97), "Next.") == ("next", Clarity.PHRASE, 0.97)
    assert counts(heard("confirmed", 0.5), "Confirm!") == ("confirmed", Clarity.PHRASE, LIMITS.critical)


def test_an_unsure_phrase_for_which_another_one_is_written_is_asked_for_again() -> None:
    assert counts(heard("no", 0.8), "Yes.")[1] is Clarity.UNCLEAR
    for written in ("What a lovely day.", "Text.", ""):  # into noise it writes anything
        assert counts(heard("next", 0.8), written) == ("next", Clarity.PHRASE, 0.8)


def test_a_number_is_made_surer_and_never_another_one() -> None:
    assert counts(heard("count two", 0.6), "Count 2.") == ("count two", Clarity.PHRASE, LIMITS.critical)
    assert counts(heard("count two", 0.8), "Count three.") == ("count two", Clarity.PHRASE, 0.8)
    assert counts(NOTHING, "Count to.") == ("count two", Clarity.PHRASE, LIMITS.moving)
    text, _, confidence = counts(heard("reading zero point four", 0.5), "Reading 0.4")
    assert (text, confidence < LIMITS.reading) == ("reading zero point four", True), "it is read back all the same"


def test_a_phrase_that_others_are_taken_for_counts_only_if_it_is_written_too() -> None:
    assert counts(heard("why", 1.0), "What?")[1] is Clarity.UNCLEAR
    assert counts(heard("why", 1.0), "Life likes life.")[1] is Clarity.UNCLEAR
    assert counts(heard("why", 1.0), "Why?") == ("why", Clarity.PHRASE, 1.0)


def test_what_only_the_writer_heard_must_be_likely() -> None:
    def known(written: str, chance: float) -> str:
        return second_look(NOTHING, Written(written, (), chance), GRAMMAR, LIMITS, LANGUAGE).text

    assert [known("No.", -2.3), known("No.", -2.5)] == ["no", NOTHING.text]
    assert known("Next.", -2.5) == NOTHING.text
    waits = replace(GRAMMAR, expected=("next",))
    assert second_look(NOTHING, Written("Next.", (), -9.0), waits, LIMITS, LANGUAGE).text == "next"
    assert [known("What is left?", -2.9), known("What is left?", -3.1)] == ["what is left", NOTHING.text]


def test_talk_that_was_surely_taken_for_a_phrase_is_kept_out_where_what_is_written_is_far_likelier() -> None:
    """Twelve letters: 13.2 nats are much in quiet, 18 in noise; of a short word 5 and 8."""
    out = ("", Clarity.UNCLEAR, 1.0)
    left = ("what is left", Clarity.PHRASE, 1.0)
    assert counts(heard("what is left"), "What is that?", 13.1) == left
    assert counts(heard("what is left"), "Richmond was a.", 13.3) == out
    assert counts(heard("what is left"), "Richmond was a.", 17.9, noisy=True) == left
    assert counts(heard("what is left"), "Richmond was a.", 18.1, noisy=True) == out
    assert counts(heard("no"), "Nor.", 4.9) == ("no", Clarity.PHRASE, 1.0)
    assert counts(heard("no"), "Thornton.", 5.1) == out
    assert counts(heard("no"), "Thornton.", 5.1, noisy=True) == ("no", Clarity.PHRASE, 1.0)
    assert counts(heard("count two"), "Down to the shop.", 60.0) == ("count two", Clarity.PHRASE, 1.0)


def test_of_an_unsure_phrase_less_doubt_is_enough() -> None:
    unsure = heard("what is left", 0.8)
    assert counts(unsure, "Like the left.", 9.5, noisy=True) == ("what is left", Clarity.PHRASE, 0.8)
    assert counts(unsure, "Like the lot.", 9.7, noisy=True) == ("", Clarity.UNCLEAR, 0.8)
    waits = replace(GRAMMAR, expected=("what is left",))
    assert second_look(unsure, Written("Like the lot.", (30.0,)), waits, LIMITS, LANGUAGE) == unsure, "it is asked back"
    assert counts(heard("no", 0.8), "Know the.", 4.4) == ("no", Clarity.PHRASE, 0.8)
    assert counts(heard("no", 0.8), "Nine.", 4.6) == ("", Clarity.UNCLEAR, 0.8)


def test_a_sure_phrase_is_kept_out_where_another_one_is_written_and_likelier() -> None:
    assert counts(heard("confirmed"), "What is left?", 4.9) == ("confirmed", Clarity.PHRASE, 1.0)
    assert counts(heard("confirmed"), "What is left?", 5.1) == ("", Clarity.UNCLEAR, 1.0)
    assert counts(heard("confirmed"), "Confirm.", 9.0) == ("confirmed", Clarity.PHRASE, 1.0)


def test_it_is_asked_for_what_is_short_and_no_sure_reading() -> None:
    def asked(one: Heard, *, grammar: Grammar = GRAMMAR) -> bool:
        return is_asked(one, grammar, LIMITS)

    assert asked(heard("next", 1.0))
    assert asked(heard("why", 1.0))
    assert asked(heard("count two", 1.0)), "its number may be a keyword"
    assert not asked(heard("reading two", 1.0))
    assert asked(heard("reading two", 0.8))
    assert asked(NOTHING)
    assert not asked(replace(NOTHING, ended_at=NOTHING.started_at + 3.1))
    assert not asked(NOTHING, grammar=replace(GRAMMAR, dictation=True))
