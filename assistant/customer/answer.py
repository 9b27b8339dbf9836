"""An answer of the customer as an input of the job."""

from __future__ import annotations

from assistant.facts.customer import CustomerAnswered, PriceShown
from assistant.report.shown import shown_sha256
from assistant.session.customer import CustomerWork


def customer_answer(work: CustomerWork, price: PriceShown | None, now: float, *, granted: bool) -> CustomerAnswered:
    """Return that ``work``, shown with ``price``, was granted, or else declined, at ``now`` [s since the epoch]."""
    return CustomerAnswered(
        work=work.work, number=work.number, granted=granted, shown_sha256=digest_of(work, price), price=price,
        at_ms=round(now * 1000),
    )  # fmt: skip


def digest_of(work: CustomerWork, price: PriceShown | None) -> str:
    """Return the digest of what the page shows of ``work`` with ``price``."""
    return shown_sha256(work.number, work.title, work.text, work.severity, work.minutes, price)
