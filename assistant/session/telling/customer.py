"""What is said of answers of the customer: taken up, or too late."""

from __future__ import annotations

from assistant.facts.customer import CustomerDeclined, CustomerLate
from assistant.session.extra_work import stands
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.extra import tell_next


@tells(CustomerDeclined)
def _declined(t: Telling, fact: CustomerDeclined) -> None:
    t.say(t.language.customer.answered(fact.number, granted=False))
    if fact.work in t.place.within:
        tell_next(t)


@tells(CustomerLate)
def _late(t: Telling, fact: CustomerLate) -> None:
    """Say what was answered and what stands against it, so that somebody asks."""
    known = stands(t, fact.work).value if fact.work in t.state.extra else ""
    t.say(*t.language.customer.late(fact.number, known, granted=fact.granted))
