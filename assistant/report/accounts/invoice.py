"""The figures for the invoice: what a job really took, by a price list, beside its quote. Pure. It is no invoice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.advice.money import MoneyRange
from assistant.advice.prices import PriceKind, PriceList
from assistant.journal.port import Entry
from assistant.procedure.model import Procedure
from assistant.report.accounts.account import Account, Needed, Position, account, summed
from assistant.report.accounts.quote import Quote, book_hours, finding_needs, quote_of
from assistant.report.accounts.used import used_in
from assistant.report.record.clock import PersonClock, clock_name, clocks_of
from assistant.report.record.extra import DONE
from assistant.report.record.model import ExtraLine, JobRecord
from assistant.report.record.standing import what_stands


@dataclass(frozen=True, slots=True)
class QuoteDifference:
    """What was quoted and what came of it: how much, and for how much; "" where it was not in the one."""

    name: str
    quoted: Position | None
    done: Position | None


@dataclass(frozen=True, slots=True)
class Invoice:
    """The work of the job, extra work that was granted and done, and both with their taxes.

    ``not_counted`` is extra work that was declined, not answered or not done. ``above`` is how far the total lies above
    what the quote had as sure; None where something in the quote had no price.
    """

    clocks: tuple[PersonClock, ...]
    kinds: Mapping[str, str]
    own: Account
    extra: Account
    all: Account
    not_counted: tuple[ExtraLine, ...]
    quote: Quote
    differences: tuple[QuoteDifference, ...]
    above: MoneyRange | None


def invoice_of(
    procedure: Procedure, prices: PriceList, entries: Sequence[Entry], record: JobRecord, kinds: Mapping[str, str]
) -> Invoice:
    """Return the figures of the job with ``entries`` and their ``record``.

    ``kinds`` says what kind of person somebody is. Others who worked on the job are of the first kind that the
    procedure asks for; those who helped, of its second, if it has one. A finding that was clocked costs its hours, and
    what the lines of the list for its words add to them.
    """
    clocks = clocks_of(procedure, entries)
    first = procedure.persons[0].kind if procedure.persons else ""
    other = procedure.persons[1].kind if len(procedure.persons) > 1 else first
    known = {clock_name(clock): kinds.get(clock.person, other if clock.is_second else first) for clock in clocks}
    used = used_in(procedure, what_stands(entries))
    own = account(
        prices, [*_hours(clocks, known, extra=False), *_others(procedure, tuple(known.values())), *used.own]
    )  # fmt: skip
    done = (need for row in record.extra if _is_done_finding(row) for need in _finding(procedure, prices, row))
    extra = account(prices, [*_hours(clocks, known, extra=True), *used.extra, *done], own)
    everything = summed(prices, [*own.positions, *extra.positions])
    quote = quote_of(procedure, prices)
    return Invoice(
        clocks,
        known,
        own,
        extra,
        everything,
        tuple(row for row in record.extra if row.stands != DONE),
        quote,
        tuple(_differences(quote.sure, everything)),
        None if quote.sure.unpriced else everything.total - quote.sure.total,
    )


def _is_done_finding(row: ExtraLine) -> bool:
    return row.kind == "finding" and row.stands == DONE


def _finding(procedure: Procedure, prices: PriceList, row: ExtraLine) -> Iterator[Needed]:
    """Yield what a finding that is done costs beside its hours: where it was not clocked, those that were said."""
    hours = book_hours(Decimal(row.minutes) * 60) if row.minutes else None
    for need in finding_needs(procedure, prices, row.what, hours):
        if need.kind is PriceKind.LABOUR:
            if not row.seconds:
                yield replace(need, note=f"{need.note}, as it was said: nobody clocked it")
        elif need.kind is PriceKind.PART:
            yield replace(need, note=f"{need.note}: look whether it was used")
        elif not row.seconds or prices.find(need.kind, need.id, need.name) is not None:
            yield need


def _hours(clocks: Sequence[PersonClock], kinds: Mapping[str, str], *, extra: bool) -> Iterator[Needed]:
    for clock in clocks:
        ms = clock.extra if extra else clock.own
        if ms:
            kind = kinds[clock_name(clock)]
            hours = book_hours(Decimal(ms) / 1000)
            yield Needed(PriceKind.LABOUR, kind, kind or "work", hours, "h", clock_name(clock))


def _others(procedure: Procedure, worked: Sequence[str]) -> Iterator[Needed]:
    """Yield the persons that the procedure asks for and whose time the journal does not have."""
    for person in procedure.persons:
        if person.count > worked.count(person.kind):
            yield Needed(PriceKind.LABOUR, person.kind, person.kind, None, "h", "the journal has no time of them")


def _differences(quoted: Account, done: Account) -> Iterator[QuoteDifference]:
    before, after = _by_thing(quoted), _by_thing(done)
    for key in dict.fromkeys((*before, *after)):
        one, other = before.get(key, []), after.get(key, [])
        if _amount(one) != _amount(other):
            yield QuoteDifference((one or other)[0].name, _merged(one), _merged(other))


def _by_thing(it: Account) -> dict[tuple[PriceKind, str, str], list[Position]]:
    found: dict[tuple[PriceKind, str, str], list[Position]] = {}
    for one in it.positions:
        found.setdefault((one.kind, one.id, one.name), []).append(one)
    return found


def _amount(positions: Sequence[Position]) -> Decimal | None:
    amounts = [one.amount for one in positions if one.amount is not None]
    return sum(amounts, Decimal(0)) if amounts else None


def _merged(positions: Sequence[Position]) -> Position | None:
    """Return several positions of one thing as one."""
    if not positions:
        return None
    nets = [one.net for one in positions if one.net is not None]
    first = positions[0]
    net = nets[0] if nets else None
    for more in nets[1:]:
        net = more if net is None else net + more
    return Position(first.kind, first.id, first.name, _amount(positions), first.unit, first.price, net)
