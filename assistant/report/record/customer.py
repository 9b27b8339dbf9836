"""Answers of the customer on the page, in the record: what was shown beside the buttons, and whether it stands here."""

from __future__ import annotations

from decimal import Decimal

from assistant.facts import Fact, customer
from assistant.facts.correcting import FindingAsBefore, FindingCorrected
from assistant.facts.extra import ExtraGranted, ExtraMinutes, FindingKept, GrantRole, GrantWay
from assistant.journal.personal import GONE
from assistant.report.record.printing import Names, prints
from assistant.report.record.words_of_extra import GRANT_WAYS, ROLES
from assistant.report.shown import price_text, shown_sha256

_NOT_HEARD = "NOT HEARD IN THE WORKSHOP YET"


def answer_words(granted: bool) -> str:
    """Return what the customer answered."""
    return "granted" if granted else "declined"


class PageAnswers:
    """The answers of one job, entry by entry; an answer counts from the entry that takes it up."""

    def __init__(self, names: Names) -> None:
        """Know what things are called."""
        self._names = names
        self._found: dict[str, FindingKept | FindingCorrected | FindingAsBefore] = {}
        self._waiting: list[customer.CustomerAnswered] = []
        self._minutes: dict[str, Decimal] = {}
        self._shown_minutes: dict[tuple[str, int], Decimal | None] = {}
        """How long a finding takes, as it was known when the customer answered."""
        self._late: dict[str, list[str]] = {}

    def take(self, fact: Fact) -> str:
        """Take the next fact; return who answered and what was shown, where it takes up an answer, else ""."""
        match fact:
            case FindingKept() | FindingCorrected() | FindingAsBefore():
                self._found[fact.work] = fact
            case ExtraMinutes():
                self._minutes[fact.work] = fact.minutes
            case customer.CustomerAnswered():
                self._waiting.append(fact)
                self._shown_minutes[fact.work, fact.at_ms] = self._minutes.get(fact.work)
            case customer.CustomerLate():
                answer = self._taken_up(fact.work, fact.at_ms)
                when = (
                    "on the page, to what did not count any more"
                    if isinstance(answer, customer.CustomerAnsweredBefore)
                    else "later on the page"
                )
                late = f"{when}: {answer_words(fact.granted)}, which changed nothing"
                self._late.setdefault(fact.work, []).append(late)
            case customer.CustomerDeclined() | ExtraGranted(way=GrantWay.PAGE):
                answer = self._taken_up(fact.work, fact.at_ms)
                who = f"{ROLES[GrantRole.CUSTOMER]}, {GRANT_WAYS[GrantWay.PAGE]}"
                return who if answer is None else f"{who}; {self._shown(answer)}"
        return ""

    def beside(self, work: str) -> list[str]:
        """Return what else the customer answered of extra work: too late, or not taken up yet."""
        who = f"{ROLES[GrantRole.CUSTOMER]}, {GRANT_WAYS[GrantWay.PAGE]}"
        waiting = [one for one in self._waiting if one.work == work]
        words = [f"{who}: {answer_words(one.granted)}, {_NOT_HEARD}; {self._shown(one)}" for one in waiting]
        return [*self._late.get(work, ()), *words]

    def _taken_up(self, work: str, at_ms: int) -> customer.CustomerAnswered | None:
        found = next((one for one in self._waiting if (one.work, one.at_ms) == (work, at_ms)), None)
        if found is not None:
            self._waiting.remove(found)
        return found

    def _shown(self, fact: customer.CustomerAnswered) -> str:
        """Return which price was shown, and whether the text that was shown is the one that stands in this record."""
        if fact.shown_sha256 == GONE:
            proof = "what was shown is removed"
        elif fact.shown_sha256 == self._digest(fact):
            proof = "shown as it stands here"
        else:
            proof = "SHOWN OTHERWISE THAN IT STANDS HERE"
        return f"{price_text(fact.price)}; {proof}"

    def _digest(self, fact: customer.CustomerAnswered) -> str:
        if (found := self._found.get(fact.work)) is not None:
            said = self._shown_minutes.get((fact.work, fact.at_ms))
            return shown_sha256(fact.number, "", found.text, found.severity, said, fact.price)
        why: str
        minutes: Decimal | None
        why, minutes = self._names.why(fact.work)
        return shown_sha256(fact.number, self._names.work(fact.work), why, None, minutes, fact.price)


@prints(customer.CustomerAnsweredBefore)
@prints(customer.CustomerAnswered)
def _answered(fact: customer.CustomerAnswered, names: Names) -> str:
    shown = f"{price_text(fact.price)}; SHA-256 of what was shown: {fact.shown_sha256}"
    said = f"the customer answered extra work {fact.number} on the page: {answer_words(fact.granted)}"
    said += ", to what did not count any more" if isinstance(fact, customer.CustomerAnsweredBefore) else ""
    return f"{said} ({names.work(fact.work)}; {shown})"


@prints(customer.CustomerDeclined)
def _declined(fact: customer.CustomerDeclined, names: Names) -> str:
    return f"extra work {fact.number} declined by the customer, on the page: {names.work(fact.work)}"


@prints(customer.CustomerLate)
def _late(fact: customer.CustomerLate, names: Names) -> str:
    said = f"too late, nothing changed: the customer {answer_words(fact.granted)} extra work {fact.number} on the page"
    return f"{said} ({names.work(fact.work)})"
