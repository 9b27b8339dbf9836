"""What the customer answered on the page for the customer, and what became of it."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

import msgspec

from assistant.facts.base import PERSONAL, Fact
from assistant.facts.inputs import Input


class PriceShown(msgspec.Struct, frozen=True):
    """The price range that stood beside the buttons, as decimals, with the code of its currency (ISO 4217)."""

    low: Decimal
    high: Decimal
    currency: str


class CustomerAnswered(Input, frozen=True, kw_only=True):
    """A button of the page was pressed, and pressed again where it was read back: granted, or else declined.

    ``shown_sha256`` is the digest of what stood beside the buttons (:mod:`assistant.report.shown`); it is made from
    words of a person, so it goes with them. ``price`` is the range that was shown, None where there was none.
    """

    KIND = "customer_answered"
    work: str
    number: int
    granted: bool
    shown_sha256: Annotated[str, PERSONAL]
    price: PriceShown | None
    at_ms: int


class CustomerAnsweredBefore(CustomerAnswered, frozen=True, kw_only=True):
    """The same, but the work counted otherwise already when the journal took the answer in: nothing comes of it."""

    KIND = "customer_answered_before"


class CustomerDeclined(Fact, frozen=True, kw_only=True):
    """Extra work was declined by the customer on the page, who answered at ``at_ms``; it stays as a recommendation."""

    KIND = "customer_declined"
    work: str
    number: int
    at_ms: int


class CustomerLate(Fact, frozen=True, kw_only=True):
    """What the customer answered at ``at_ms`` changes nothing.

    Another answer came first, the work is gone, or what was shown of it did not count any more.
    """

    KIND = "customer_late"
    work: str
    number: int
    granted: bool
    at_ms: int
