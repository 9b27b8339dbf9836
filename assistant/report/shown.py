"""The digest of what a customer was shown beside the buttons, so that a record can prove it.

It is that of values, not of the sentences made from them: those may be worded otherwise on any day.
"""

from __future__ import annotations

import hashlib
from decimal import Decimal

from assistant.facts.customer import PriceShown
from assistant.facts.extra import Severity
from assistant.fastening.quantities import plain
from assistant.journal.canonical import canonical


def shown_sha256(
    number: int, title: str, text: str, severity: Severity | None, minutes: Decimal | None, price: PriceShown | None
) -> str:
    """Return the SHA-256 (hexadecimal) of the canonical JSON (RFC 8785) of what was shown of extra work ``number``.

    ``title`` is that of its branch, ``text`` why it is offered, or the words of a finding; ``minutes`` [min].
    """
    values = {
        "number": number,
        "title": title,
        "text": text,
        "severity": severity.value if severity else "",
        "minutes": "" if minutes is None else plain(minutes),
        "price": [] if price is None else [plain(price.low), plain(price.high), price.currency],
    }
    return hashlib.sha256(canonical(values).encode()).hexdigest()


def price_text(price: PriceShown | None) -> str:
    """Return a price range for a person, as 40.00 to 55.00 EUR; of none that it is told on request."""
    if price is None:
        return "price on request"
    if price.low == price.high:
        return f"{price.low} {price.currency}"
    return f"{price.low} to {price.high} {price.currency}"
