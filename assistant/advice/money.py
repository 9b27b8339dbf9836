"""Money: decimals with their currency (ISO 4217), and ranges of it. The one adapter of py-moneyed.

Amounts are rounded to the minor unit of their currency, and a half goes up, away from zero: so it is done by hand and
in trade (DIN 1333; Council Regulation (EC) 1103/97, article 5, for the euro; both from memory). Half to even, as for
measurements, would print 0.12 for 0.125, and whoever checks the paper with a pencil would find 0.13.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal

from moneyed import Currency, CurrencyDoesNotExist, Money, get_currency

from assistant.fastening.quantities import plain
from assistant.faults import Fault, quoted

__all__ = ["Currency", "Money", "MoneyRange", "currency_of", "digits_of", "rounded", "shown"]

_EXACT = Context(prec=60, rounding=ROUND_HALF_UP)
"""Far more digits than amounts and prices have together, so that only :func:`rounded` rounds."""
_REGIONAL = ("XAF", "XCD", "XCG", "XOF", "XPF")
"""Money whose code begins with X; the others of those are metals, units of account, and codes for tests."""


def currency_of(text: str) -> Currency | Fault:
    """Return the currency with the code ``text`` [ISO 4217], such as EUR.

    One that is not in use in any country is refused: the library has no minor unit for those.

    Source: ISO 4217 as py-moneyed has it, and the countries of CLDR.

    >>> currency_of("EUR").code, currency_of("eur").sentence
    ('EUR', '"eur" is no currency: write its three capital letters, such as EUR')
    """
    if len(text) == 3 and text.isascii() and text.isupper():
        try:
            found = get_currency(text)
        except CurrencyDoesNotExist:
            found = None
        if found is not None and found.country_codes and (text in _REGIONAL or not text.startswith("X")):
            return found
    return Fault(f"{quoted(text)} is no currency", "write its three capital letters, such as EUR")


def digits_of(currency: Currency) -> int:
    """Return how many decimals the minor unit of ``currency`` has.

    Source: ISO 4217, column minor unit.

    >>> [digits_of(get_currency(code)) for code in ("JPY", "EUR", "KWD")]
    [0, 2, 3]
    """
    return len(str(currency.sub_unit)) - 1


def rounded(money: Money) -> Money:
    """Return ``money`` in whole minor units of its currency, a half away from zero.

    Source: DIN 1333 (from memory).

    >>> [str(rounded(Money(text, "EUR")).amount) for text in ("0.125", "0.135", "-0.125", "7")]
    ['0.13', '0.14', '-0.13', '7.00']
    """
    step = Decimal(1).scaleb(-digits_of(money.currency))
    return Money(money.amount.quantize(step, context=_EXACT), money.currency)


def shown(money: Money) -> str:
    """Return ``money`` as papers print it: every digit of its minor unit, more where a price has more, and its code.

    Source: ISO 4217 names the code alone; that it stands behind the number is ours.

    >>> shown(Money("1234.5", "EUR")), shown(Money("0.0125", "EUR")), shown(Money(900, "JPY"))
    ('1234.50 EUR', '0.0125 EUR', '900 JPY')
    """
    places = max(digits_of(money.currency), -_exponent(money.amount))
    return f"{money.amount:.{places}f} {money.currency.code}"


def _exponent(amount: Decimal) -> int:
    found = Decimal(plain(amount)).as_tuple().exponent
    return found if isinstance(found, int) else 0


@dataclass(frozen=True, slots=True)
class MoneyRange:
    """From ``low`` to ``high`` in one currency; both are the same where an amount is known."""

    low: Money
    high: Money

    @staticmethod
    def of(currency: Currency, low: Decimal, high: Decimal | None = None) -> MoneyRange:
        """Return the range from ``low`` to ``high`` [currency]; one amount where no end is given."""
        return MoneyRange(Money(low, currency), Money(low if high is None else high, currency))

    @property
    def text(self) -> str:
        """Return it in words of a paper: "12.50 EUR", or "12.50 to 15.00 EUR"."""
        if self.low == self.high:
            return shown(self.low)
        return f"{shown(self.low).removesuffix(f' {self.low.currency.code}')} to {shown(self.high)}"

    def __add__(self, other: MoneyRange) -> MoneyRange:
        """Return the sum.

        Raises:
            TypeError: the currencies differ; a price list has one.
        """
        return MoneyRange(self.low + other.low, self.high + other.high)

    def __sub__(self, other: MoneyRange) -> MoneyRange:
        """Return how far this one lies above ``other``: the least and the most that the difference can be."""
        return MoneyRange(self.low - other.high, self.high - other.low)

    def times(self, amount: Decimal) -> MoneyRange:
        """Return ``amount`` times this, exact: nothing is rounded."""
        return MoneyRange(
            Money(_EXACT.multiply(self.low.amount, amount), self.low.currency),
            Money(_EXACT.multiply(self.high.amount, amount), self.high.currency),
        )

    def percent(self, rate: Decimal) -> MoneyRange:
        """Return ``rate`` [percent] of this, exact."""
        return self.times(_EXACT.divide(rate, Decimal(100)))

    @property
    def rounded(self) -> MoneyRange:
        """Return both ends in whole minor units."""
        return MoneyRange(rounded(self.low), rounded(self.high))
