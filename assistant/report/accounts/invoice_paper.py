"""The figures for the invoice on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.advice.prices import PriceList
from assistant.fastening.quantities import plain
from assistant.journal.port import JobState
from assistant.procedure.model import Procedure
from assistant.report.accounts.account import Position
from assistant.report.accounts.invoice import Invoice, QuoteDifference
from assistant.report.accounts.paper import (
    INVENTED,
    ROUNDED,
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
from assistant.report.accounts.quote import book_hours
from assistant.report.record.clock import clock_name
from assistant.report.record.model import JobRecord

NO_INVOICE = "THIS IS NO INVOICE: these are figures for whoever writes it."
_NOTES = (
    "Hours are those of the job's own clock, to a hundredth: the work of the job, and extra work that was granted. "
    "Waiting for a timer, pauses, hand-overs and interruptions are not charged.",
    "Parts are those that were fitted, and new bolts in place of ones that broke or were lost; "
    "supplies are as they were filled in, or as planned where nobody measured them.",
    ROUNDED,
)
_HOURS = ("who", "as", "work of the job", "extra work", "waited", "away")
_DIFFERENT = ("what", "quoted", "for", "done", "for")


def invoice_paper(procedure: Procedure, prices: PriceList, record: JobRecord, found: Invoice) -> AccountPaper:
    """Return the figures ``found`` for the job of ``record``, ready to be printed."""
    card = record.card
    warnings = [
        NO_INVOICE,
        *(["THE JOB IS STILL OPEN."] if card.state is not JobState.CLOSED else []),
        *(["This was a rehearsal."] if card.rehearsal else []),
        *([f"{INVENTED}."] if procedure.values else []),
    ]
    extra = found.extra.positions
    above = [] if found.above is None else [("less what the quote had as sure", found.above)]
    tables = [
        PaperTable("Hours", _HOURS, _hours(found), (2, 3, 4, 5)),
        position_table("The job", found.own.positions),
        *([position_table("Extra work that was granted and done", extra)] if extra else []),
        sum_table("Sum", found.all, *above),
    ]
    if found.differences:
        rows = [_different(one) for one in found.differences]
        tables.append(PaperTable("Where it differs from the quote", _DIFFERENT, rows, (1, 2, 3, 4)))
    if found.not_counted:
        left = [(str(row.number), row.what.rstrip("."), row.stands) for row in found.not_counted]
        tables.append(PaperTable("Extra work that is not counted", ("no.", "what", "how it stands"), left))
    tables += unpriced_table(found.all.unpriced)
    return AccountPaper(
        name="Figures for the invoice",
        title=procedure.title,
        given=_given(procedure, prices, record),
        tables=tables,
        notes=(*_less(found), *_NOTES, *list_notes(prices)),
        values=_values(record, found),
        warning=" ".join(warnings),
        bottom=f"Job {card.job}, entries 1 to {record.trust.entries}, chain head {record.trust.head[:16]}",
    )


def _given(procedure: Procedure, prices: PriceList, record: JobRecord) -> dict[str, str]:
    card = record.card
    more = {"customer": card.customer, "asset": card.asset, "meter": card.meter}
    return {
        "job": f"{card.job} ({card.state})",
        **{name: value for name, value in more.items() if value},
        "procedure": f"{procedure.id}, revision {procedure.revision}",
        **list_given(prices),
    }


def _less(found: Invoice) -> list[str]:
    notes = []
    if found.all.unpriced:
        notes.append("SOMETHING HAS NO PRICE: the sums are too low by it.")
    if found.above is None:
        notes.append("Something in the quote had no price, so it is not told how far the total lies above it.")
    if found.all.total.low != found.all.total.high:
        notes.append("SOMETHING HAS A PRICE FROM-TO IN THE LIST: write the real one there before you charge it.")
    return notes


def _hours(found: Invoice) -> Sequence[Sequence[str]]:
    return [
        (
            clock_name(clock),
            found.kinds[clock_name(clock)] or "not known",
            *(f"{_text(ms)} h" for ms in (clock.own, clock.extra, clock.waiting, clock.away)),
        )
        for clock in found.clocks
    ]


def _text(ms: int) -> str:
    return plain(book_hours(Decimal(ms) / 1000))


def _different(one: QuoteDifference) -> Sequence[str]:
    return (one.name, *_cells(one.quoted), *_cells(one.done))


def _cells(one: Position | None) -> tuple[str, str]:
    if one is None:
        return "–", "–"
    return one.how_much or "not known", "NO PRICE" if one.net is None else one.net.text


def _values(record: JobRecord, found: Invoice) -> Mapping[str, Any]:
    return {
        "note": NO_INVOICE,
        "job": record.card.job,
        "state": record.card.state.value,
        "entries": record.trust.entries,
        "head": record.trust.head,
        "hours": [
            {
                "person": clock.person,
                "kind": found.kinds[clock_name(clock)],
                "second_person": clock.is_second,
                "own": _text(clock.own),
                "extra": _text(clock.extra),
                "waited": _text(clock.waiting),
                "away": _text(clock.away),
            }
            for clock in found.clocks
        ],
        "job_itself": account_values(found.own)["positions"],
        "extra_work": account_values(found.extra)["positions"],
        **{key: value for key, value in account_values(found.all).items() if key != "positions"},
        "not_counted": [{"number": row.number, "what": row.what, "stands": row.stands} for row in found.not_counted],
        "quoted": money_value(found.quote.sure.total),
        "above_quote": money_value(found.above),
        "differences": [
            {
                "name": one.name,
                "quoted": None if one.quoted is None or one.quoted.amount is None else plain(one.quoted.amount),
                "done": None if one.done is None or one.done.amount is None else plain(one.done.amount),
            }
            for one in found.differences
        ],
    }
