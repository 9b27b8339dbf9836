"""Numbers for the ear and from the mouth."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.events import SlotKind
from assistant.language.en.numbers import (
    WHOLE_PHRASES,
    digit_words,
    number_phrases,
    number_words,
    parse_number_words,
    sounds_alike,
)

slot_numbers = st.decimals("0", "999.99", places=2)


@given(slot_numbers)
def test_what_is_said_is_heard_as_the_same_number(value: Decimal) -> None:
    assert parse_number_words(number_words(value)) == value
    if value >= 1:
        assert parse_number_words(digit_words(value)) == value
    assert not any(letter.isdigit() for letter in number_words(value) + digit_words(value))


@pytest.mark.parametrize(
    ("value", "words", "digits"),
    [
        ("45", "forty-five", "four five"),
        ("120", "one hundred and twenty", "one two zero"),
        ("12.5", "twelve point five", "one two point five"),
        ("43.10", "forty-three point one", "four three point one"),
        ("0.05", "zero point zero five", "zero point zero five"),
        ("15000", "fifteen thousand", "one five zero zero zero"),
        ("1250", "one thousand two hundred and fifty", "one two five zero"),
        ("-3", "minus three", "minus three"),
    ],
)
def test_spoken_forms(value: str, words: str, digits: str) -> None:
    assert number_words(Decimal(value)) == words
    assert digit_words(Decimal(value)) == digits


def test_teens_and_tens_are_the_pairs_that_sound_alike() -> None:
    # 13/30, 14/40 ... 19/90: radiotelephony practice, ICAO Doc 9432, from memory.
    pairs = {number for unit in range(3, 10) for number in (10 + unit, 10 * unit)}
    assert {number for number in range(100) if sounds_alike(number)} == pairs
    assert sounds_alike(113)
    assert sounds_alike(130)
    assert sounds_alike(Decimal("40.5"))
    assert sounds_alike(15000)
    assert not sounds_alike(Decimal("120.13"))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("thirty five point five", "35.5"),
        ("three five point five", "35.5"),
        ("one hundred and twenty", "120"),
        ("one hundred twenty", "120"),
        ("a hundred", "100"),
        ("sixteen", "16"),
        ("one six", "16"),
        ("one oh", "10"),
        ("one oh five", "105"),
        ("zero", "0"),
        ("point five", "0.5"),
        ("zero point oh five", "0.05"),
        ("twelve decimal two five", "12.25"),
        ("one point zero three one", "1.031"),
        ("Thirty-Five", "35"),
    ],
)
def test_numbers_as_people_say_them(text: str, value: str) -> None:
    assert parse_number_words(text) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "oh",
        "and",
        "point",
        "thirty point",
        "thirty twenty",
        "twenty one six",
        "one twenty",
        "sixteen five",
        "zero six",
        "twenty zero",
        "one two three four",
        "hundred",
        "one hundred and",
        "one hundred and zero",
        "ten hundred",
        "five point five point five",
        "five point twenty",
        "five point one two three four",
        "twelve bolts",
        "16",
        "minus five",
    ],
)
def test_what_could_be_two_numbers_or_none_is_not_guessed(text: str) -> None:
    assert parse_number_words(text) is None


def test_every_whole_number_to_ninety_nine_can_be_said_and_every_phrase_means_what_it_lists() -> None:
    assert set(WHOLE_PHRASES.values()) == set(range(100))
    for phrase, value in WHOLE_PHRASES.items():
        assert parse_number_words(" ".join(phrase)) == value


def test_every_decimal_phrase_part_is_understood() -> None:
    parts = number_phrases(SlotKind.DECIMAL)
    heard = {parse_number_words(" ".join(phrase)) for phrase in parts.wholes}
    assert heard == {Decimal(number) for number in range(1000)}
    for decimals in parts.decimals:
        assert parse_number_words(f"one {parts.points[0]} {' '.join(decimals)}") is not None
