"""The golden job that the customer answers on the page: granted, declined, too late, with a price and without one."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts.customer import CustomerAnswered, PriceShown
from assistant.facts.extra import Severity
from assistant.report.shown import shown_sha256
from tests.jobs import ROOT
from tests.journal.golden.maker import Maker

_LID_AND_RAIL = ROOT / "tests/typed/procedures/lid-and-rail.yaml"


def customer_page(bay: Maker) -> None:
    """An answer into a read-back, one while nobody works, one that is too late, and a word that came behind one."""
    bay.rehearse(
        _LID_AND_RAIL,
        """
        next
        next
        next
        next
        customer grants 1
        +20 s
        next
        i found something
        "the seal weeps on the left"
        end note
        before it runs
        confirmed
        i found something
        "the cable is worn"
        end note
        next service
        confirmed
        extra work two is granted
        the manager
        by telephone
        customer declines 2
        confirmed
        +10 s
        customer grants 2
        +10 s
        pause
        """,
        "--operator", "A. Kerr", "--asset", "Bench 4",
        begin="2026-11-30T08:00",
    )  # fmt: skip
    price = PriceShown(Decimal("40.00"), Decimal("55.50"), "EUR")
    text = "the cable is worn"
    bay.append(
        CustomerAnswered(
            work="finding:3", number=3, granted=True, price=price, at_ms=1_796_032_800_000,
            shown_sha256=shown_sha256(3, "", text, Severity.NEXT_SERVICE, None, price),
        )
    )  # fmt: skip
    bay.rehearse(
        _LID_AND_RAIL,
        """
        carry on
        +20 s
        extra work three is done
        confirmed
        finish job
        "the practice ends here"
        end note
        confirmed
        """,
        "--job", "last",
        begin="2026-11-30T12:00",
    )  # fmt: skip


CUSTOMER = {"customer-page": customer_page}
