"""The order list on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.advice.prices import PriceList, so_many
from assistant.fastening.quantities import plain
from assistant.procedure.model import Procedure
from assistant.report.accounts.account import summed
from assistant.report.accounts.order import OrderLine
from assistant.report.accounts.paper import (
    INVENTED,
    SUM_HEAD,
    AccountPaper,
    PaperTable,
    list_given,
    list_notes,
    money_value,
    position_value,
)

_HEAD = ("what", "number", "needed", "in store", "to order", "price", "amount", "for")
_STORE = ("what", "needed", "in store", "for")
_NOTES = (
    "What is to order is what is needed, less what the price list says is in stock; where it says nothing, all of it.",
    "The sum has no taxes, and nothing without a price. This is advice and orders nothing.",
)


def order_paper(
    procedure: Procedure, prices: PriceList, lines: Sequence[OrderLine], others: Sequence[str] = (), job: str = ""
) -> AccountPaper:
    """Return the order list of ``lines``; ``others`` are things that are missing and that no list has."""
    to_order = [one for one in lines if not one.is_there]
    there = [one for one in lines if one.is_there]
    total = summed(prices, [one.order for one in to_order]).net
    tables = [PaperTable("To order", _HEAD, [_row(one) for one in to_order], (2, 3, 4, 5, 6))]
    tables.append(PaperTable("Sum", SUM_HEAD, [("what has a price, without taxes", total.text)], (1,)))
    if there:
        rows = [(one.needed.name, _amount(one.needed.amount, one), _stock(one), one.reason) for one in there]
        tables.append(PaperTable("In store already", _STORE, rows, (1, 2)))
    if others:
        tables.append(PaperTable("Missing, and in no price list", ("what",), [(one,) for one in others]))
    return AccountPaper(
        name="Order list",
        title=procedure.title,
        given={**({"job": job} if job else {}), "procedure": f"{procedure.id}, revision {procedure.revision}",
               **list_given(prices)},
        tables=tables,
        notes=(*_NOTES, *list_notes(prices)),
        values={
            "job": job,
            "procedure": procedure.id,
            "revision": procedure.revision,
            "lines": [_value(one) for one in lines],
            "missing_others": list(others),
            "net": money_value(total),
        },
        warning=INVENTED if procedure.values else "",
        bottom=f"Order list, {job or procedure.id}  |  {prices.name} {prices.sha256[:16]}",
    )  # fmt: skip


def _row(one: OrderLine) -> tuple[str, ...]:
    note = f" ({one.needed.note})" if one.needed.note else ""
    order = one.order
    return (
        one.needed.name + note,
        order.number,
        _amount(one.needed.amount, one),
        _stock(one),
        _amount(order.amount, one),
        "" if order.price is None else order.price.text,
        f"NO PRICE: {order.why}" if order.net is None else order.net.text,
        one.reason,
    )


def _amount(amount: Decimal | None, one: OrderLine) -> str:
    return "not known" if amount is None else so_many(amount, one.needed.unit)


def _stock(one: OrderLine) -> str:
    return "not known" if one.stock is None else so_many(one.stock, one.needed.unit)


def _value(one: OrderLine) -> Mapping[str, Any]:
    return {
        "needed": None if one.needed.amount is None else plain(one.needed.amount),
        "in_stock": None if one.stock is None else plain(one.stock),
        "for": one.reason,
        "order": position_value(one.order),
    }
