"""The quote on paper."""

from __future__ import annotations

from assistant.advice.prices import PriceList
from assistant.procedure.model import Procedure
from assistant.report.accounts.paper import (
    INVENTED,
    ROUNDED,
    SUM_HEAD,
    AccountPaper,
    PaperTable,
    account_values,
    list_given,
    list_notes,
    money_value,
    position_table,
    sum_table,
    unpriced_table,
)
from assistant.report.accounts.quote import Quote, quote_of
from assistant.report.record.forms import took

_NOTES = (
    "Work is the book time by the rate of each person that the procedure asks for, for all of it. "
    "What may come on top takes its own minutes, by the rate of the first of them.",
    ROUNDED,
    "This is advice and binds nobody. It holds for this revision of the procedure and for this price list.",
)


def quote_paper(procedure: Procedure, prices: PriceList) -> AccountPaper:
    """Return the quote for ``procedure`` by ``prices``, ready to be printed."""
    quote = quote_of(procedure, prices)
    sure, options = quote.sure, quote.options
    tables = [position_table("What is sure to come", sure.positions), sum_table("Sum", sure)]
    if options:
        rows = [
            (
                one.title.rstrip("."),
                "only if granted" if one.needs_grant else "where it must be",
                one.account.total.text,
            )
            for one in options
        ]
        tables.append(PaperTable("What may come on top, with its taxes", ("what", "when", "amount"), rows, (2,)))
        tables += [position_table(one.title.rstrip("."), one.account.positions) for one in options]
        tables.append(PaperTable("All of it", SUM_HEAD, [("from the least to the most", quote.total.text)], (1,)))
    tables += unpriced_table((*sure.unpriced, *(row for one in options for row in one.account.unpriced)))
    return AccountPaper(
        name="Quote",
        title=procedure.title,
        given={
            "machine": procedure.machine,
            "procedure": f"{procedure.id}, revision {procedure.revision}, SHA-256 {procedure.sha256[:16]}",
            "book time": "not named" if procedure.book_time is None else took(procedure.book_time),
            **list_given(prices),
        },
        tables=tables,
        notes=(*_less(quote), *_NOTES, *list_notes(prices)),
        values={
            "procedure": procedure.id,
            "revision": procedure.revision,
            "book_seconds": procedure.book_time,
            "sure": account_values(sure),
            "may_come": [
                {"work": one.work, "step": one.step, "title": one.title, "why": one.why,
                 "only_if_granted": one.needs_grant, **account_values(one.account)}
                for one in options
            ],
            "total": money_value(quote.total),
            "may_be_less_than_it_costs": quote.may_be_less,
        },
        warning=INVENTED if procedure.values else "",
        bottom=f"Quote, {procedure.id}, revision {procedure.revision}  |  {prices.name} {prices.sha256[:16]}",
        lines=("day", "holds until", "signed"),
    )  # fmt: skip


def _less(quote: Quote) -> tuple[str, ...]:
    return ("SOMETHING HAS NO PRICE: the sums are too low by it.",) if quote.may_be_less else ()
