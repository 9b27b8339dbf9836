"""Answers of the customer on the page: taken up when nothing else is asked, in a breath of their own.

They never move the job, and nothing that a mechanic says carries them out or takes them back.
"""

from __future__ import annotations

from assistant.facts.asking import Cancelled, CancelledWhy, code_of
from assistant.facts.asking import Question as AnyQuestion
from assistant.facts.customer import CustomerDeclined, CustomerLate
from assistant.facts.extra import ExtraGranted, GrantRole, GrantWay
from assistant.session.answered import PageAnswer
from assistant.session.branching import branch_of
from assistant.session.common import Common
from assistant.session.deciding.branches import open_branch
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.state import ExtraIs

QUIET_MS = 1_000
"""So long nothing was said before an answer of the customer is told: it is never spoken into a sentence. Ours."""
_BUSY = (Common.NEW, Common.HAZARD, Common.DROPPED, Common.CLOSED)


def is_harmless(here: Here) -> bool:
    """Return whether nothing lies over the work and no hazard waits, so that a word beside it disturbs nothing."""
    return here.phase == here.base and here.phase not in _BUSY


def due_ms(here: Here, quiet_ms: int) -> int | None:
    """Return when the answers that wait are taken up [ms]; since ``quiet_ms`` the voice is silent."""
    if not here.state.page_answers or not is_harmless(here):
        return None
    return max(here.state.page_answers[0].at_ms, quiet_ms + QUIET_MS if quiet_ms else 0)


def take_answers_up(d: Deciding) -> None:
    """Take up the answers that wait, the first one first, when their time has come."""
    due = due_ms(d, d.quiet_ms)
    if due is not None and due <= d.now_ms:
        for answer in d.state.page_answers:
            _take(d, answer)


def _take(d: Deciding, answer: PageAnswer) -> None:
    work = d.state.extra.get(answer.work)
    if answer.outdated or work is None or work.stands not in (ExtraIs.ASKED, ExtraIs.ADVISED):
        d.put(CustomerLate(work=answer.work, number=answer.number, granted=answer.granted, at_ms=answer.at_ms))
    elif not answer.granted:
        d.put(CustomerDeclined(work=answer.work, number=work.number, at_ms=answer.at_ms))
    else:
        d.put(
            ExtraGranted(
                work=answer.work, number=work.number, role=GrantRole.CUSTOMER, way=GrantWay.PAGE, at_ms=answer.at_ms
            )
        )
        if branch_of(d.job, answer.work) is not None:
            open_branch(d, answer.work)


def put_aside(d: Deciding, question: AnyQuestion, work: str | None = None) -> bool:
    """Put down that nothing comes of ``question``, when the customer answered before it was confirmed.

    ``work`` is what it is about; None when every answer that waits stands before it. One to something that does not
    count any more stands before no word about it.
    """
    if not any(work is None or (work == answer.work and not answer.outdated) for answer in d.state.page_answers):
        return False
    d.put(Cancelled(what=code_of(question), why=CancelledWhy.ANSWERED, at_ms=d.now_ms))
    return True
