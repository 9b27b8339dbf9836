"""The quote: what a job will cost by its book time and a price list, and what may come on top of it. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from assistant.advice.money import MoneyRange
from assistant.advice.prices import PriceKind, PriceList
from assistant.procedure.model import Branch, Item, Procedure
from assistant.procedure.only_if import Turning, only_if, things_of, turnings
from assistant.report.accounts.account import Account, Needed, account, summed
from assistant.session.places import branch_key


@dataclass(frozen=True, slots=True)
class Option:
    """What may come on top: a branch by its key, what it is called, the step that leads there, and what it costs."""

    work: str
    title: str
    step: str
    why: str
    needs_grant: bool
    account: Account


@dataclass(frozen=True, slots=True)
class Quote:
    """What is sure to come, what may come on top, and both in one; ``remarks`` of the price list belong on the paper.

    ``total`` goes from the least of what is sure to the most of all that may come.
    """

    sure: Account
    options: tuple[Option, ...]
    total: MoneyRange
    remarks: tuple[str, ...] = ()

    @property
    def may_be_less(self) -> bool:
        """Return whether something has no price, so that the total is too low."""
        return any(one.unpriced for one in (self.sure, *(option.account for option in self.options)))


def quote_of(procedure: Procedure, prices: PriceList) -> Quote:
    """Return the quote for ``procedure``."""
    sure = sure_of(procedure, prices)
    options = tuple(_option(procedure, prices, one, sure) for one in turnings(procedure))
    everything = summed(prices, [*sure.positions, *(one for option in options for one in option.account.positions)])
    return Quote(sure, options, MoneyRange(sure.total.low, everything.total.high), prices.remarks)


def sure_of(procedure: Procedure, prices: PriceList) -> Account:
    """Return what is sure to come: the book time by the rate of each person, parts and supplies."""
    return account(prices, [*_work(procedure), *things_needed(procedure)])


def price_of_work(
    procedure: Procedure, prices: PriceList, work: str, text: str = "", minutes: Decimal | None = None
) -> Account:
    """Return what extra work costs by itself: the branch with the key ``work``, or a finding by its words ``text``.

    A finding has no steps, so it has a price only where the list names its words, and ``minutes`` [min] of its work.
    """
    branch = next((one.branch for one in turnings(procedure) if branch_key(one.step.id, one.branch) == work), None)
    if branch is None:
        hours = None if minutes is None else book_hours(minutes * 60)
        return account(prices, finding_needs(procedure, prices, text, hours), sure_of(procedure, prices))
    return account(prices, _of_branch(procedure, branch), sure_of(procedure, prices))


def finding_needs(procedure: Procedure, prices: PriceList, text: str, hours: Decimal | None) -> list[Needed]:
    """Return what a finding that was put down as ``text`` needs by the list: one of each line with words of it.

    A line of kind other for its very words, or with words of it, is all of its price. A part comes with ``hours`` [h]
    of work, by the line of labour with the same words, or else of the first person of the procedure.
    """
    very = [line for line in prices.lines if line.kind is PriceKind.OTHER and line.name.casefold() == text.casefold()]
    words, lines = ("", tuple(very)) if very else prices.for_finding(text)
    if not lines:
        return [Needed(PriceKind.OTHER, "", text, Decimal(1))]
    note = f'by the words "{words}" of the list' if words else ""
    work = [line for line in lines if line.kind is PriceKind.LABOUR]
    needs = [Needed(line.kind, line.id, line.called, Decimal(1), line.unit, note) for line in lines if line not in work]
    if work or any(line.kind is PriceKind.PART for line in lines):
        first = procedure.persons[0].kind if procedure.persons else ""
        called = [(line.id, line.name) for line in work] or [(first, first)]
        needs += [Needed(PriceKind.LABOUR, id_, name or id_, hours, "h", note) for id_, name in called]
    return needs


def book_hours(seconds: Decimal) -> Decimal:
    """Return ``seconds`` [s] in hours as papers print them, to a hundredth: so a printed sum can be checked by hand.

    >>> book_hours(Decimal(5400)), book_hours(Decimal(50))
    (Decimal('1.50'), Decimal('0.01'))
    """
    return (seconds / 3600).quantize(Decimal("0.01"), ROUND_HALF_UP)


def _work(procedure: Procedure) -> list[Needed]:
    book = None if procedure.book_time is None else Decimal(procedure.book_time)
    return [
        Needed(
            PriceKind.LABOUR, person.kind, person.kind, None if book is None else book_hours(book * person.count), "h",
            f"{person.count} for the whole book time" if person.count > 1 else "",
        )
        for person in procedure.persons
    ]  # fmt: skip


def things_needed(procedure: Procedure) -> Iterator[Needed]:
    """Yield parts and supplies of the whole job, without those that only a branch needs."""
    later = only_if(procedure)
    for kind, item in items_of(procedure):
        if item.id not in later:
            yield Needed(kind, item.id, item.name, item.quantity, item.unit, item.note)


def items_of(procedure: Procedure) -> Iterator[tuple[PriceKind, Item]]:
    """Yield every part and every supply that ``procedure`` names, with its kind."""
    for kind, items in ((PriceKind.PART, procedure.spares), (PriceKind.SUPPLY, procedure.supplies)):
        for item in items:
            yield kind, item


def _of_branch(procedure: Procedure, branch: Branch) -> Iterator[Needed]:
    """Yield the work of a branch, for the first kind of person of the procedure, and what it alone needs.

    A part that the job needs anyway, and a branch once more, is there without an amount: nobody wrote how many.
    """
    later, named = only_if(procedure), things_of(branch)
    if procedure.persons:
        kind = procedure.persons[0].kind
        minutes = _minutes(branch)
        yield Needed(PriceKind.LABOUR, kind, kind, None if minutes is None else book_hours(minutes * 60), "h")
    for kind_of, item in items_of(procedure):
        if item.id in named and (item.id in later or kind_of is PriceKind.PART):
            yield Needed(kind_of, item.id, item.name, item.quantity if item.id in later else None, item.unit, item.note)


def _minutes(branch: Branch) -> Decimal | None:
    """Return how long a branch takes [min]: what it says, or the sum of its steps where each of them says it."""
    if branch.minutes is not None:
        return branch.minutes
    each = [step.minutes for step in branch.steps]
    known = [one for one in each if one is not None]
    return sum(known, Decimal(0)) if len(known) == len(each) else None


def _option(procedure: Procedure, prices: PriceList, turning: Turning, sure: Account) -> Option:
    branch = turning.branch
    return Option(
        branch_key(turning.step.id, branch), option_title(branch), turning.step.text, branch.why, branch.extra,
        account(prices, _of_branch(procedure, branch), sure),
    )  # fmt: skip


def option_title(branch: Branch) -> str:
    """Return what a branch is called: its title, or its first step."""
    return branch.title or branch.steps[0].text
