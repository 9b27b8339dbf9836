"""Each phrase has words of its own: what is heard is a phrase from its first to its last word, or none."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

import numpy as np
import pytest

from assistant.events import Clarity, Grammar, Heard, Slot, SlotKind
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import mixed
from assistant.language.en import ENGLISH
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.engine_phrases import TWIN, UNKNOWN, as_said, engine_phrases
from assistant.voice.listening.model_files import OWN_MODEL, words_of
from assistant.voice.listening.n_best import Candidate, choose
from tests.voice.noises import engine
from tests.voice.people import Person

SAID = ("item found", "do not remind me", "there is a problem", "i release the gate", "what is missing",
        "which torque", "take that back", "what comes next", "hours so far", "whole group", "how many bolts",
        "what is the time")  # fmt: skip
"""Phrases that share their words with others and with phrases that hold a number."""
PEOPLE = [Person("flite", "kal16", pace) for pace in (0.9, 1.1)]
"""A voice that training never heard (models/README.md)."""


class OneWordForAll(VoskRecogniser):
    """The same engine with a model that has no twins: all phrases share their words."""

    def _knows(self, word: str) -> bool:
        return TWIN not in word and super()._knows(word)


def heard_in_noise(recogniser: VoskRecogniser, snr_db: float) -> list[tuple[str, Heard]]:
    recogniser.set_grammar(phrases_for(("count four", "bolt four is stripped")))
    beside = engine(8.0, np.random.default_rng(1))
    noise = np.rint(beside / np.abs(beside).max() * 9000).astype(np.int16)
    found = []
    for number, (text, person) in enumerate(itertools.product(SAID, PEOPLE)):
        sound = mixed(person.say(text), noise, snr_db, np.random.default_rng(number))
        recogniser.start()
        for at in range(0, sound.size, 3200):
            recogniser.feed(sound[at : at + 3200])
        found.append((text, recogniser.finish(0.0, 1.5)))
    return found


def right(found: Iterable[tuple[str, Heard]]) -> int:
    return sum(one.clarity is Clarity.PHRASE and one.text == text and one.confidence >= 0.6 for text, one in found)


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_more_phrases_are_heard_in_noise_than_with_words_that_all_phrases_share() -> None:
    own, shared = (heard_in_noise(make(ENGLISH), 5.0) for make in (VoskRecogniser, OneWordForAll))
    taken = [(text, one.text) for text, one in own if one.clarity is Clarity.PHRASE and one.text != text]
    print(f"right {right(own)}, with shared words {right(shared)}, of {len(own)}; another: {taken}")
    assert right(own) > right(shared)
    assert len(taken) <= 2


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_the_shipped_model_has_twins_for_every_phrase_and_shows_none() -> None:
    recogniser = VoskRecogniser(ENGLISH)
    recogniser.set_grammar(phrases_for(("count four", "reading four")))
    told = recogniser._heard.phrases
    several = [phrase.split() for phrase in told if " " in phrase]
    assert len(several) > 1000
    without = {as_said(" ".join(words)) for words in several if not all(TWIN in word for word in words)}
    assert without == set()  # python -m models.recipe twins models/bay-en gives a new phrase its own
    assert not [word for word in words_of(OWN_MODEL) if TWIN in word]


def test_words_of_one_phrase_lead_into_no_other() -> None:
    grammar = Grammar(
        ("go back", "back in place", "next"), (Slot("go to", SlotKind.WHOLE), Slot("count", SlotKind.WHOLE))
    )
    told = set(engine_phrases(grammar, ENGLISH.numbers, (), lambda _word: True))
    assert {"go_2 back_1", "back_2 in_1 place_1", "next", UNKNOWN, "go_1 to_1 four_1", "count_1 four_2"} <= told
    pairs = {pair for phrase in told for pair in itertools.pairwise(phrase.split())}
    assert not {(a, b) for a, b in pairs if as_said(f"{a} {b}") in ("back back", "count back", "to back", "go in")}


def test_where_the_model_has_no_more_twins_the_words_themselves_serve() -> None:
    grammar = Grammar(("go back", "go on", "go"))
    told = engine_phrases(grammar, ENGLISH.numbers, (), lambda word: word in {"go", "back", "on", "go_1", "back_1"})
    assert told[:3] == ["go_1 back_1", "go on", "go"]


def test_two_ways_to_hear_the_same_words_have_the_chance_of_both() -> None:
    """Three ways of one chance each, two of which are the same words: two thirds."""
    chosen = choose([Candidate("next", -1.0, 0.3), Candidate("next", -1.0), Candidate("gun", -1.0)], lambda _text: True)
    assert (chosen.text, chosen.words_s) == ("next", 0.3)
    assert chosen.confidence == pytest.approx(2 / 3)
