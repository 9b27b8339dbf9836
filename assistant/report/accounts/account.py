"""Positions with their prices, taxes, and the sum: every line is rounded once, and the sum is that of the lines.

So it is done on electronic invoices too: EN 16931-1, rules BR-CO-10 (the net sum is that of the lines) and BR-CO-17
(tax is its rate of the sum that it lies on, rounded once for each rate); from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from assistant.advice.money import MoneyRange
from assistant.advice.prices import PriceKind, PriceLine, PriceList, priced_amount, so_many
from assistant.fastening.quantities import plain
from assistant.faults import Fault


@dataclass(frozen=True, slots=True)
class Position:
    """So much of one thing: ``amount`` [unit], None where nobody knows how much.

    ``price`` is that of one unit of the price list and ``net`` the rounded amount; both are None where there is no
    price, and ``why`` says why. Nothing without a price is counted. ``note`` is what else there is to know.
    """

    kind: PriceKind
    id: str
    name: str
    amount: Decimal | None
    unit: str
    price: MoneyRange | None = None
    net: MoneyRange | None = None
    why: str = ""
    number: str = ""
    note: str = ""

    @property
    def how_much(self) -> str:
        """Return so many of what: "3", "7 litres", hours with all their digits; "" where nobody knows."""
        if self.amount is None:
            return ""
        return f"{plain(self.amount)} {self.unit}" if self.kind is PriceKind.LABOUR else so_many(self.amount, self.unit)


@dataclass(frozen=True, slots=True)
class TaxLine:
    """One tax: its name, its rate [percent], the sum that it lies on, and how much it is."""

    id: str
    name: str
    rate: Decimal
    of: MoneyRange
    net: MoneyRange

    @property
    def called(self) -> str:
        """Return its name with its rate."""
        return f"{self.name}, {plain(self.rate)} %"


@dataclass(frozen=True, slots=True)
class Account:
    """Positions with their taxes and sums; what has no price stands in ``unpriced`` and in no sum."""

    positions: tuple[Position, ...]
    taxes: tuple[TaxLine, ...]
    net: MoneyRange
    total: MoneyRange

    @property
    def unpriced(self) -> tuple[Position, ...]:
        """Return what has no price."""
        return tuple(one for one in self.positions if one.net is None)


@dataclass(frozen=True, slots=True)
class Needed:
    """What is needed: a part, a supply or work by its ``id`` and ``name``; ``amount`` [unit] as in Position."""

    kind: PriceKind
    id: str
    name: str
    amount: Decimal | None
    unit: str = ""
    note: str = ""


def account(prices: PriceList, needed: Iterable[Needed], beside: Account | None = None) -> Account:
    """Return what ``needed`` costs by ``prices``, with what comes once with it, and its taxes.

    What comes once, and stands in ``beside`` already, does not come again.
    """
    positions = tuple(position(prices, one) for one in needed)
    there = () if beside is None else beside.positions
    once = (one for one in _once(prices, positions) if one not in there)
    return summed(prices, (*positions, *once))


def summed(prices: PriceList, positions: Sequence[Position]) -> Account:
    """Return the sum of ``positions``, in whatever order they come."""
    net = _sum(prices, positions)
    taxes: list[TaxLine] = []
    total = net
    for tax in prices.taxes:
        mine = [one for one in positions if tax.lies_on(one.kind, one.id)]
        if not any(one.net is not None for one in mine):
            continue
        base = _sum(prices, mine)
        line = TaxLine(tax.id, tax.called, tax.low, base, base.percent(tax.low).rounded)
        taxes.append(line)
        total += line.net
    return Account(tuple(positions), tuple(taxes), net, total)


def _sum(prices: PriceList, positions: Iterable[Position]) -> MoneyRange:
    found = prices.zero.rounded
    for one in positions:
        if one.net is not None:
            found += one.net
    return found


def position(prices: PriceList, needed: Needed) -> Position:
    """Return ``needed`` with its price, or why it has none."""
    line = prices.find(needed.kind, needed.id, needed.name)
    if line is None:
        return _unpriced(needed, f"no {needed.kind} of that name is in the price list")
    if needed.amount is None:
        return _unpriced(needed, "how much of it is not known", line)
    amount = priced_amount(needed.amount, needed.unit, line.unit)
    if isinstance(amount, Fault):
        return _unpriced(needed, amount.sentence, line)
    price = prices.price_of(line)
    return Position(
        needed.kind, line.id or needed.id, needed.name, needed.amount, needed.unit, price,
        price.times(amount).rounded, "", line.number, needed.note,
    )  # fmt: skip


def _unpriced(needed: Needed, why: str, line: PriceLine | None = None) -> Position:
    number = line.number if line else ""
    return Position(
        needed.kind, needed.id, needed.name, needed.amount, needed.unit, None, None, why, number, needed.note
    )


def _once(prices: PriceList, positions: Sequence[Position]) -> list[Position]:
    """Return what the list puts beside such positions, once in all."""
    found = []
    for line in prices.lines:
        mine = (one for one in positions if line.lies_on(one.kind, one.id))
        if line.kind is PriceKind.OTHER and any(one.net is not None for one in mine):
            price = prices.price_of(line)
            note = "once, whatever the amount"
            found.append(
                Position(line.kind, line.id, line.called, Decimal(1), "", price, price.rounded, "", line.number, note)
            )
    return found
