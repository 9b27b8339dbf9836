"""What extra work costs by the copy of the price list beside a link, and what a foreman is told of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from assistant.advice.prices import PriceList
from assistant.customer.links import prices_path
from assistant.events import Thresholds
from assistant.facts.customer import PriceShown
from assistant.journal.port import Entry
from assistant.kept.rebuilding import rebuild_session
from assistant.procedure.format.price_file import read_price_file
from assistant.report.accounts.account import Account
from assistant.report.accounts.quote import price_of_work
from assistant.report.shown import price_text
from assistant.session.customer import CustomerWork
from assistant.session.session import Session


def prices_of(job: str, session: Session) -> Callable[[CustomerWork], PriceShown | None]:
    """Return what tells the price of extra work, by the copy of the price list that was put beside the link.

    There is none without a list, nor where it lacks anything of the work: nothing is left out of a price, or guessed.
    """
    path = prices_path(job)
    prices = read_price_file(path).prices if path.exists() else None

    def price_of(work: CustomerWork) -> PriceShown | None:
        return None if prices is None else _shown(_account(session, prices, work), prices)

    return price_of


def priced_lines(entries: Sequence[Entry], prices: PriceList) -> Iterator[str]:
    """Yield a line for each piece of extra work that waits for an answer: its price, by what lines; or what is missing.

    A finding is priced by words that stand in the list: whoever wrote them there sees what they do.
    """
    session = rebuild_session(entries, Thresholds())
    for work in session.for_customer:
        if not work.is_open:
            continue
        account = _account(session, prices, work)
        why = "; ".join(f"{one.name}: {one.why}" for one in account.unpriced)
        by = ", ".join(f"{one.how_much} {one.name}".strip() for one in account.positions)
        told = f"by {by}" if not account.unpriced else f"({why})"
        yield f"Extra work {work.number}, {work.title or work.text}: {price_text(_shown(account, prices))} {told}"


def _account(session: Session, prices: PriceList, work: CustomerWork) -> Account:
    return price_of_work(session.procedure, prices, work.work, work.text, work.minutes)


def _shown(account: Account, prices: PriceList) -> PriceShown | None:
    if account.unpriced or not account.positions:
        return None
    total = account.total.rounded
    return PriceShown(total.low.amount, total.high.amount, prices.currency.code)
