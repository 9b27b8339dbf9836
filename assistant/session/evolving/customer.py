"""Answers of the customer on the page: they wait, and are taken up, or come too late."""

from __future__ import annotations

from msgspec.structs import replace

from assistant.facts import customer, extra
from assistant.session.answered import PageAnswer
from assistant.session.evolving.table import takes_up
from assistant.session.state import ExtraIs, State


@takes_up(customer.CustomerAnsweredBefore)
@takes_up(customer.CustomerAnswered)
def _answered(state: State, fact: customer.CustomerAnswered) -> State:
    """An answer waits to be taken up."""
    answer = PageAnswer(
        fact.work, fact.number, fact.granted, fact.at_ms, isinstance(fact, customer.CustomerAnsweredBefore)
    )  # fmt: skip
    return replace(state, page_answers=(*state.page_answers, answer))


@takes_up(customer.CustomerDeclined)
def _declined(state: State, fact: customer.CustomerDeclined) -> State:
    """Extra work is not done, and stays as advice; it is known whose word that is."""
    if fact.work not in state.extra:
        return settled(state, fact.work, fact.at_ms)
    row = replace(
        state.extra[fact.work], stands=ExtraIs.DECLINED, role=extra.GrantRole.CUSTOMER, name="",
        way=extra.GrantWay.PAGE, at_ms=fact.at_ms,
    )  # fmt: skip
    return settled(replace(state, extra={**state.extra, fact.work: row}), fact.work, fact.at_ms)


@takes_up(customer.CustomerLate)
def _late(state: State, fact: customer.CustomerLate) -> State:
    """It changes nothing."""
    return settled(state, fact.work, fact.at_ms)


def settled(state: State, work: str, at_ms: int) -> State:
    """Return ``state`` in which the first answer for ``work`` that was given at ``at_ms`` does not wait any more."""
    found = next((one for one in state.page_answers if (one.work, one.at_ms) == (work, at_ms)), None)
    if found is None:
        return state
    at = state.page_answers.index(found)
    return replace(state, page_answers=state.page_answers[:at] + state.page_answers[at + 1 :])
