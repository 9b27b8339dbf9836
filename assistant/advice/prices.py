"""A price list of a workshop: what parts, supplies and hours cost, and which taxes lie on what."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.advice.money import Currency, MoneyRange
from assistant.fastening.quantities import plain
from assistant.fastening.symbols import AMOUNTS, unit_key
from assistant.faults import Fault


class PriceKind(StrEnum):
    """What a line of a price list is for. A tax has a rate [percent] in place of a price."""

    PART = "part"
    SUPPLY = "supply"
    LABOUR = "labour"
    TAX = "tax"
    OTHER = "other"


TAXED = (PriceKind.PART, PriceKind.SUPPLY, PriceKind.LABOUR, PriceKind.OTHER)
"""Kinds on which a tax may lie; there is no tax on taxes."""


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line: ``id`` and ``name`` are how the procedure calls it; one of them may be "".

    ``low`` and ``high`` are the price of one ``unit`` [currency of the list], or the rate of a tax [percent];
    ``stock`` is how much is in store [unit], None where the list does not say. A tax lies on the kinds ``on_kinds`` and
    on the lines with the ids ``on_ids``; another line that lies on such comes once with them. ``number`` is what the
    workshop orders by, as it typed it. ``findings`` are the words of findings that the workshop prices by this line.
    """

    kind: PriceKind
    id: str
    name: str
    unit: str
    low: Decimal
    high: Decimal
    stock: Decimal | None = None
    number: str = ""
    on_kinds: tuple[PriceKind, ...] = ()
    on_ids: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    line: int = 0

    @property
    def called(self) -> str:
        """Its name, or its id where it has none."""
        return self.name or self.id

    def lies_on(self, kind: PriceKind, line_id: str) -> bool:
        """Return whether this lies on a line of ``kind`` with the id ``line_id``."""
        return kind in self.on_kinds or (bool(line_id) and line_id in self.on_ids)


@dataclass(frozen=True, slots=True)
class PriceList:
    """The lines of one list, in ``currency``; ``remarks`` stand above its table, and belong on every paper of it."""

    name: str
    currency: Currency
    lines: tuple[PriceLine, ...]
    remarks: tuple[str, ...] = ()
    sha256: str = ""

    @property
    def taxes(self) -> tuple[PriceLine, ...]:
        """The taxes, in the order of the list."""
        return tuple(line for line in self.lines if line.kind is PriceKind.TAX)

    def find(self, kind: PriceKind, id_: str, name: str = "") -> PriceLine | None:
        """Return the line of ``kind`` for what is called so: its id and its name must fit, as far as it has them.

        Two procedures may call different oils "oil"; so a line with a name is for no other one.
        """
        called = name.casefold()
        mine = (line for line in self.lines if line.kind is kind and line.id in ("", id_))
        return next((line for line in mine if line.name.casefold() in ("", called)), None)

    def for_finding(self, text: str) -> tuple[str, tuple[PriceLine, ...]]:
        """Return by which words the list prices a finding that was put down as ``text``, and all lines with them.

        The words must stand in the text as they are in the list, one behind the other; the longest count. None are
        returned where nothing fits, or two of one length do: which of them is meant nobody knows.

        >>> from assistant.advice.money import currency_of
        >>> seal = PriceLine(PriceKind.PART, "seal", "", "", Decimal(12), Decimal(12), findings=("seal weeps",))
        >>> PriceList("", currency_of("EUR"), (seal,)).for_finding("The seal weeps on the left.")[0]
        'seal weeps'
        """
        told = f" {finding_words(text)} "
        fits = {words for line in self.lines for words in line.findings if f" {finding_words(words)} " in told}
        longest = max((len(finding_words(words).split()) for words in fits), default=0)
        found = {finding_words(words) for words in fits if len(finding_words(words).split()) == longest}
        if len(found) != 1:
            return "", ()
        (words,) = found
        return words, tuple(line for line in self.lines if words in map(finding_words, line.findings))

    def price_of(self, line: PriceLine) -> MoneyRange:
        """Return what one unit of ``line``, which is no tax, costs."""
        return MoneyRange.of(self.currency, line.low, line.high)

    @property
    def zero(self) -> MoneyRange:
        """Nothing, in the currency of the list."""
        return MoneyRange.of(self.currency, Decimal(0))


_WORDS = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")


def finding_words(text: str) -> str:
    """Return the words of a finding as they are compared: without capitals and marks.

    >>> finding_words("Seal  weeps.")
    'seal weeps'
    """
    return " ".join(_WORDS.findall(text.casefold()))


_PIECES = ("", "piece", "pieces", "pc", "pcs", "each")


def priced_amount(amount: Decimal, unit: str, wanted: str) -> Decimal | Fault:
    """Return ``amount`` [unit] in ``wanted`` [unit], where both are of volume or both of mass.

    Other units are words that a workshop chose, such as tubes: they must be the same, but for an s at their end.

    Formula: by the size of each unit. Source: that of :data:`assistant.fastening.symbols.AMOUNTS`.

    >>> priced_amount(Decimal(250), "ml", "litres"), priced_amount(Decimal(2), "tubes", "tube")
    (Decimal('0.25'), Decimal('2'))
    >>> priced_amount(Decimal(2), "US gal", "US qt")
    Decimal('8')
    >>> priced_amount(Decimal(1), "tube", "can").sentence
    'it is needed in tube and priced by can: price it by tube'
    """
    given, asked = _base(unit), _base(wanted)
    if given[0] != asked[0]:
        by = unit or "pieces"
        return Fault(f"it is needed in {by} and priced by {wanted or 'the piece'}", f"price it by {by}")
    return amount * given[1] / asked[1] if given[1] != asked[1] else amount


def _base(unit: str) -> tuple[str, Decimal]:
    if unit.casefold() in _PIECES:
        return "", Decimal(1)
    key = unit_key(unit)
    if isinstance(key, Fault):
        return unit.casefold().removesuffix("s"), Decimal(1)
    return AMOUNTS.get(key, (key, Decimal(1)))


def so_many(amount: Decimal, unit: str) -> str:
    """Return so much of something as papers print it: "3", "7 litres", without zeros that say nothing.

    >>> so_many(Decimal("7.50"), "litres"), so_many(Decimal(3), ""), so_many(Decimal("40"), "")
    ('7.5 litres', '3', '40')
    """
    text = plain(amount)
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}".strip()
