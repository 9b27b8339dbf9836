"""Numbers of vehicles: the check digit by another way of working it out, and where it is asked for."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.scan.vin import VinFault, check_digit, read_vin

ALPHABET = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
PLACES = st.text(ALPHABET, min_size=17, max_size=17).filter(lambda text: sum(char.isdigit() for char in text) >= 4)


def by_the_string(vin: str) -> str:
    """The check digit as a well-known short program works it out, without the tables of the law (from memory).

    The place of a character in the string, modulo ten, is its value, and weights and results are read off strings too.
    """
    values, weights = "0123456789.ABCDEFGH..JKLMN.P.R..STUVWXYZ", "8765432X098765432"
    total = sum(
        values.index(char) % 10 * "0123456789X".index(weight) for char, weight in zip(vin, weights, strict=True)
    )
    return "0123456789X"[total % 11]


@given(PLACES)
def test_the_check_digit_is_that_of_another_way(vin):
    assert check_digit(vin) == by_the_string(vin)


def test_the_worked_example_that_everybody_uses():
    """All ones: the sum of the weights is 89, and 89 modulo 11 is 1, so that the number checks itself."""
    assert read_vin("1" * 17).fault is None
    assert sum((8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)) % 11 == 1


@given(PLACES, st.integers(0, 16), st.sampled_from("0123456789"))
def test_a_slip_in_one_digit_is_found_where_the_law_has_a_check_digit(vin, place, other):
    right = "1" + vin[1:8] + "0" + vin[9:]
    right = right[:8] + check_digit(right) + right[9:]
    assume(sum(char.isdigit() for char in right) >= 4)  # the check digit may be X, and with three it looks like none
    assert read_vin(right).fault is None
    if place in (0, 8) or not right[place].isdigit() or right[place] == other:
        return
    slipped = right[:place] + other + right[place + 1 :]
    assert read_vin(slipped).fault is VinFault.CHECK


@pytest.mark.parametrize(
    ("text", "fault", "doubted"),
    [
        ("1A1AA1AA0AA111111", VinFault.CHECK, False),  # North America
        ("LA1AA1AA0AA111111", VinFault.CHECK, False),  # China
        ("XA1AA1AA0AA111111", None, True),  # elsewhere it is no law
        ("1A1AA1AAOAA111111", VinFault.LETTER, False),
        ("A1B2C3D4E5F6G7H8", VinFault.LENGTH, False),
        ("A1B2C3D4E5F6G7H8J9", VinFault.LENGTH, False),
        ("I11111111111111111", None, False),  # the letter that bar codes on vehicles have before the number
        (" 11111 111111111111 ", None, False),
    ],
)
def test_what_is_wrong_is_said(text, fault, doubted):
    vin = read_vin(text)
    assert (vin.fault, vin.doubted) == (fault, doubted)


@pytest.mark.parametrize("text", ["", "PX-1001", "09501101530003", "next", "https://example.org/01/09501101530003"])
def test_other_codes_are_no_numbers_of_vehicles(text):
    assert read_vin(text) is None
