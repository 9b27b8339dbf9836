"""An answer of the customer as an input of the job."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.customer import CustomerAnswered, CustomerAnsweredBefore, PriceShown
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


def as_it_counts(answer: CustomerAnswered, works: Sequence[CustomerWork]) -> CustomerAnswered:
    """Return ``answer`` as the journal takes it in while ``works`` count: another fact where they count otherwise.

    Between the button and the journal a mechanic may have corrected the words, or said how long it takes.
    """
    work = next((one for one in works if one.work == answer.work), None)
    if work is None or digest_of(work, answer.price) == answer.shown_sha256:
        return answer
    return CustomerAnsweredBefore(
        work=answer.work, number=answer.number, granted=answer.granted, shown_sha256=answer.shown_sha256,
        price=answer.price, at_ms=answer.at_ms,
    )  # fmt: skip
