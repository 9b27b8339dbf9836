"""Words for the ear. The forms follow the trade's usage: "newton metres", "pound-feet", "a further"."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fastening.chunks import chunk_bolts
from assistant.fastening.quantities import Angle, Torque, TorqueUnit
from assistant.fastening.symbols import AMOUNTS, SYMBOLS, unit_key
from assistant.fastening.units import parse_angle, parse_torque
from assistant.faults import Fault
from assistant.language.en.numbers import number_words
from assistant.language.en.units import (
    UNITS,
    angle_words,
    bolts_words,
    duration_words,
    torque_words,
    value_words,
)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("45 N·m", "forty-five newton metres"),
        ("40 N·m", "forty newton metres"),
        ("12.5 N·m", "twelve point five newton metres"),
        ("33 lbf·ft", "thirty-three pound-feet"),
        ("80 lbf·in", "eighty pound-inches"),
        ("1 lbf·ft", "one pound-foot"),
        ("1 N·m", "one newton metre"),
        (
            "150 kgf·cm",
            "one hundred and fifty kilogram-force centimetres",
        ),
    ],
)
def test_torques(text: str, words: str) -> None:
    torque = parse_torque(text)
    assert isinstance(torque, Torque)
    assert torque_words(torque) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("90°", "a further ninety degrees, a quarter turn"),
        ("30°", "a further thirty degrees, a twelfth of a turn"),
        ("60°", "a further sixty degrees, a sixth of a turn"),
        ("1/3 turn", "a further one hundred and twenty degrees, a third of a turn"),
        ("0.5 turn", "a further one hundred and eighty degrees, half a turn"),
        ("1 turn", "a further three hundred and sixty degrees, one full turn"),
        ("75°", "a further seventy-five degrees"),
    ],
)
def test_angles_are_always_given_in_degrees_with_a_hand_reference_where_one_helps(text: str, words: str) -> None:
    angle = parse_angle(text)
    assert isinstance(angle, Angle)
    assert angle_words(angle) == words
    assert angle_words(angle, further=False) == words.removeprefix("a further ")


@pytest.mark.parametrize(
    ("bolts", "words"),
    [
        ((3,), "bolt three"),
        ((3, 4), "bolts three and four"),
        ((4, 5, 6, 7, 8), "bolts four to eight"),
        ((6, 5, 4, 3), "bolts six down to three"),
        ((1, 5, 3, 7), "bolts one, five, three and seven"),
        ((1, 2, 3, 9), "bolts one to three and nine"),
        ((1, 8, 5, 12, 3, 10, 7, 14), "bolts one, eight, five and twelve, then three, ten, seven and fourteen"),
        (tuple(range(1, 15)), "bolts one to fourteen"),
    ],
)
def test_bolts(bolts: tuple[int, ...], words: str) -> None:
    assert bolts_words(bolts) == words


@given(st.lists(st.integers(1, 60), min_size=1, max_size=40))
def test_chunks_keep_every_bolt_in_order_and_never_hold_more_than_four_things(bolts: list[int]) -> None:
    chunks = chunk_bolts(bolts)
    assert [bolt for chunk in chunks for bolt in chunk] == bolts
    for chunk in chunks:
        words = bolts_words(chunk)
        assert "then" not in words
        assert len(words.replace(" and ", ", ").split(", ")) <= 4


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "zero seconds"),
        (1, "one second"),
        (59.6, "one minute"),
        (125, "two minutes and five seconds"),
        (3600, "one hour"),
        (3725, "one hour and two minutes"),
        (86400, "twenty-four hours"),
    ],
)
def test_durations(seconds: float, words: str) -> None:
    assert duration_words(seconds) == words


@given(st.sampled_from(sorted(UNITS)), st.decimals("0", "999.99", places=2))
def test_nothing_that_a_synthesiser_would_spell_is_ever_said(unit: str, value: Decimal) -> None:
    words = value_words(value, unit)
    assert words.startswith(number_words(value))
    assert all(letter.isalpha() or letter in " -" for letter in words)


def test_every_unit_that_can_be_written_can_be_said() -> None:
    assert set(SYMBOLS) == set(UNITS)


def test_units_are_found_as_written_and_others_get_a_hint() -> None:
    assert unit_key("Nm") == TorqueUnit.NEWTON_METRE.value
    assert unit_key("litres") == "l"
    assert value_words(Decimal(1), "°C") == "one degree Celsius"
    for text in ("nm", "parsec", "", "MM"):
        assert isinstance(unit_key(text), Fault)


@pytest.mark.parametrize("text", ["gal", "Gallons", "qt", "pint", "fl oz"])
def test_a_volume_of_two_sizes_is_never_guessed(text: str) -> None:
    found = unit_key(text)
    assert isinstance(found, Fault)
    assert "one size in the United States and another one in Britain: write US gal" in found.sentence


def test_amounts_of_the_inch_world_have_the_sizes_of_a_library_that_is_not_ours() -> None:
    from scipy import constants

    # scipy.constants has the US gallon, the fluid ounce, the pound and the ounce.
    ours = {unit: float(size) for unit, (_, size) in AMOUNTS.items()}
    assert ours["US gal"] == pytest.approx(constants.gallon_US * 1e6, rel=1e-12)
    assert ours["US qt"] * 4 == pytest.approx(constants.gallon_US * 1e6, rel=1e-12)
    assert ours["US pt"] * 8 == pytest.approx(constants.gallon_US * 1e6, rel=1e-12)
    assert ours["US fl oz"] == pytest.approx(constants.fluid_ounce_US * 1e6, rel=1e-12)
    assert ours["lb"] == pytest.approx(constants.pound * 1e3, rel=1e-12)
    assert ours["oz"] == pytest.approx(constants.ounce * 1e3, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("10", "ten thousandths of an inch"),
        ("1", "one thousandth of an inch"),
        ("1.5", "one point five thousandths of an inch"),
    ],
)
def test_small_inches_are_said_in_thousandths_as_the_trade_says_them(value: str, said: str) -> None:
    # Common practice of American and British workshops, no source.
    assert value_words(Decimal(value), "thou") == said
