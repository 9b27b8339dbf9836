"""A paper about money: text, JSON and a page are made of the same values, so they never say different sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.advice.money import MoneyRange
from assistant.advice.prices import PriceList
from assistant.fastening.quantities import plain
from assistant.procedure.wordings import NO_TEXT, OwnText
from assistant.report.accounts.account import Account, Position
from assistant.report.pages import PAPERS, render

POSITION_HEAD = ("kind", "what", "how much", "price", "amount")
SUM_HEAD = ("what", "amount")
INVENTED = "Values are invented: not for use on a machine"
ROUNDED = (
    "Each line is rounded to the minor unit of the currency, a half up; "
    "each tax is its rate of the sum that it lies on, rounded once."
)
_SHORT_HASH = 16
"""Hexadecimal digits of the price list's hash that stand on every page."""


@dataclass(frozen=True, slots=True)
class PaperTable:
    """One table: ``numbers`` are the places of columns that are set to the right."""

    title: str
    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    numbers: Sequence[int] = ()


@dataclass(frozen=True, slots=True)
class AccountPaper:
    """A paper: its name, what it is about, tables, notes below them, and ``values`` for programs.

    ``warning`` stands at the top of every page, ``lines`` are to be filled in by hand.
    """

    name: str
    title: str
    given: Mapping[str, str]
    tables: Sequence[PaperTable]
    notes: Sequence[str]
    values: Mapping[str, Any] = field(default_factory=dict)
    warning: str = ""
    bottom: str = ""
    lines: Sequence[str] = ()


def account_html(it: AccountPaper, *, paper: str, own: OwnText = NO_TEXT) -> str:
    """Return ``it`` as one page of HTML with the workshop's ``own`` text.

    ``paper`` is one of :data:`assistant.report.pages.PAPERS`.
    """
    return render("account.html", it=it, paper=PAPERS[paper], top=it.warning or it.name, bottom=it.bottom, own=own)


def rows_of(positions: Iterable[Position]) -> list[tuple[str, ...]]:
    """Return ``positions`` as rows of :data:`POSITION_HEAD`; what has no price says so, and never zero."""
    return [
        (
            one.kind.value,
            f"{one.name} ({one.note.rstrip('.')})" if one.note else one.name,
            one.how_much or "not known",
            "" if one.price is None else one.price.text,
            "NO PRICE" if one.net is None else one.net.text,
        )
        for one in positions
    ]


def position_table(title: str, positions: Iterable[Position]) -> PaperTable:
    """Return the table of ``positions``."""
    return PaperTable(title, POSITION_HEAD, rows_of(positions), (2, 3, 4))


def sum_table(title: str, account: Account, *more: tuple[str, MoneyRange]) -> PaperTable:
    """Return net sum, taxes and total of ``account``, and ``more`` below them."""
    rows = [("sum of the positions", account.net.text)]
    rows += [(f"{tax.called} of {tax.of.text}", tax.net.text) for tax in account.taxes]
    rows += [("total", account.total.text), *((name, money.text) for name, money in more)]
    return PaperTable(title, SUM_HEAD, rows, (1,))


def unpriced_table(positions: Iterable[Position]) -> list[PaperTable]:
    """Return the table of what has no price, with the reasons; none where all has one."""
    rows = [(one.kind.value, one.name, one.how_much or "not known", one.why) for one in positions]
    return [PaperTable("Without a price, and in no sum", ("kind", "what", "how much", "why"), rows)] if rows else []


def money_value(money: MoneyRange | None) -> Mapping[str, str] | None:
    """Return a range of money for programs, as decimal text."""
    if money is None:
        return None
    return {"low": plain(money.low.amount), "high": plain(money.high.amount), "currency": money.low.currency.code}


def account_values(account: Account) -> dict[str, Any]:
    """Return ``account`` for programs."""
    return {
        "positions": [position_value(one) for one in account.positions],
        "net": money_value(account.net),
        "taxes": [
            {"id": tax.id, "name": tax.name, "percent": plain(tax.rate), "of": money_value(tax.of),
             "amount": money_value(tax.net)}
            for tax in account.taxes
        ],
        "total": money_value(account.total),
    }  # fmt: skip


def position_value(one: Position) -> dict[str, Any]:
    """Return a position for programs."""
    return {
        "kind": one.kind.value,
        "id": one.id,
        "name": one.name,
        "amount": None if one.amount is None else plain(one.amount),
        "unit": one.unit,
        "price": money_value(one.price),
        "net": money_value(one.net),
        "no_price_because": one.why,
        "number": one.number,
        "note": one.note,
    }


def list_given(prices: PriceList) -> dict[str, str]:
    """Return what a paper says of the price list that it was made with."""
    return {"price list": prices.name, "SHA-256 of the list": prices.sha256[:_SHORT_HASH]}


def list_notes(prices: PriceList) -> list[str]:
    """Return what stands above the table of the list, and that there is no tax where the list has none."""
    return [*prices.remarks, *([] if prices.taxes else ["The price list has no tax, so none is counted."])]
