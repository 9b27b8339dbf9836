"""Money against figures that stand outside the project."""

import doctest
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice import money, prices
from assistant.advice.money import Money, MoneyRange, currency_of, digits_of, rounded, shown
from assistant.faults import Fault

EUR = currency_of("EUR")


@pytest.mark.parametrize("module", [money, prices])
def test_the_examples_are_right(module):
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize(
    ("code", "digits"),
    # ISO 4217, table A.1, column minor unit (from memory).
    [
        *(("EUR", 2), ("GBP", 2), ("CHF", 2), ("USD", 2), ("JPY", 0), ("KRW", 0), ("ISK", 0), ("VND", 0), ("XOF", 0)),
        *(("KWD", 3), ("BHD", 3), ("TND", 3), ("OMR", 3), ("CLF", 4)),
    ],
)
def test_minor_units_are_those_of_the_standard(code, digits):
    assert digits_of(currency_of(code)) == digits


@pytest.mark.parametrize("code", ["EUR", "GBP", "SEK", "PLN", "CZK", "JPY", "KWD", "TND", "ISK", "CLP", "BRL", "INR"])
def test_minor_units_are_those_of_another_library(code):
    assert digits_of(currency_of(code)) == get_currency_precision(code)


@pytest.mark.parametrize(
    "text", ["", "E", "eur", "EURO", "€", "ABC", "XAU", "XXX", "XTS", "XDR", "DEM", "E\nR", "ＥＵＲ"]
)
def test_what_nobody_pays_with_is_refused(text):
    fault = currency_of(text)
    assert isinstance(fault, Fault)
    assert fault.advice == "write its three capital letters, such as EUR"


@pytest.mark.parametrize(
    ("code", "exact", "whole"),
    [
        ("JPY", "100.5", "101"),
        ("JPY", "100.49", "100"),
        ("KWD", "1.2345", "1.235"),
        ("KWD", "1.2344", "1.234"),
        ("EUR", "0.125", "0.13"),  # half to even would give 0.12
        ("EUR", "2.675", "2.68"),  # the float 2.675 lies below it and gives 2.67
        ("EUR", "1.005", "1.01"),  # the float gives 1.00
        # Regulation (EC) 1103/97, article 5 (from memory): to the nearest cent, exactly half-way up.
        ("EUR", "1.264", "1.26"),
        ("EUR", "1.265", "1.27"),
        ("EUR", "1.266", "1.27"),
        # Value added tax of 17.5 % on 19.99: 3.49825.
        ("GBP", "3.49825", "3.50"),
    ],
)
def test_a_half_goes_up(code, exact, whole):
    assert str(rounded(Money(exact, code)).amount) == whole
    assert str(rounded(Money(f"-{exact}", code)).amount) == f"-{whole}"


@given(st.decimals(-(10**9), 10**9, allow_nan=False, places=6), st.sampled_from(["JPY", "EUR", "KWD"]))
def test_rounding_is_the_nearest_whole_minor_unit(amount, code):
    """Told with fractions: no other number of minor units is nearer, and a half goes away from zero."""
    units = Fraction(amount) * 10 ** digits_of(currency_of(code))
    nearest = int(abs(units) + Fraction(1, 2)) * (1 if units >= 0 else -1)
    assert Fraction(rounded(Money(amount, code)).amount) * 10 ** digits_of(currency_of(code)) == nearest


@given(st.integers(0, 10**15), st.integers(0, 10**12))
def test_parts_by_price_is_exact(price, count):
    """Whole numbers of millionths and thousandths, multiplied as Python's integers."""
    line = MoneyRange.of(EUR, Decimal(price).scaleb(-6)).times(Decimal(count).scaleb(-3))
    assert line.low.amount.scaleb(9) == price * count


def test_two_currencies_are_never_added():
    with pytest.raises(TypeError):
        MoneyRange.of(EUR, Decimal(1)) + MoneyRange.of(currency_of("USD"), Decimal(1))


def test_a_range_is_told_with_both_its_ends():
    assert MoneyRange.of(EUR, Decimal("46"), Decimal("58.5")).text == "46.00 to 58.50 EUR"
    assert MoneyRange.of(EUR, Decimal("46")).text == "46.00 EUR"
    assert shown(Money("1234567.005", "EUR")) == "1234567.005 EUR"


def test_how_a_library_rounds_by_itself_is_not_how_we_do():
    """The reason for :func:`rounded`: what the library does depends on the context of whoever calls."""
    assert Money("0.125", "EUR").round(2).amount == Decimal("0.12")
    assert rounded(Money("0.125", "EUR")).amount == Decimal("0.125").quantize(Decimal("0.01"), ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("amount", "unit", "wanted", "found"),
    [
        # A US gallon is four quarts or 3.785411784 l, a pound 453.59237 g: NIST SP 811, appendix B (from memory).
        ("2", "US gal", "US quarts", "8"),
        ("1", "US gal", "litres", "3.785411784"),
        ("500", "g", "lb", "1.102311310924"),
    ],
)
def test_an_amount_is_priced_in_another_unit_of_its_kind(amount, unit, wanted, found):
    assert prices.priced_amount(Decimal(amount), unit, wanted) == pytest.approx(Decimal(found), rel=Decimal("1e-12"))
