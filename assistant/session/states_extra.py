"""The states of extra work: offered, granted by whom and how, a branch that stops the job, and how bad a finding is."""

from __future__ import annotations

from assistant.facts.extra import GrantRole, GrantWay, Severity
from assistant.session.common import Common
from assistant.session.deciding import asking, branches, correcting, extra
from assistant.session.deciding.core import Deciding
from assistant.session.extra_work import is_answered_here, was_passed
from assistant.session.intents import CORRECT, KNOBS, WORDS
from assistant.session.states import work_acts
from assistant.session.table import Act, Layer, PageMode, Row, add_rows


def _answered(_d: Deciding, _command: object) -> None:
    """Put nothing: a question is answered, or the voice turned, when it is told."""


_OVER: dict[str, Act] = {"cancel": asking.said_cancel, **dict.fromkeys(("repeat", "help", *KNOBS), _answered)}

add_rows(
    Row(
        Common.OFFERING,
        means="work beside the job is offered, and waits for yes, no, or ask later",
        acts={
            "yes": extra.offered_yes,
            "no": extra.offered_no,
            "ask_later": extra.offered_later,
            **work_acts(),
            "next": extra.offered_next,
            "skip": extra.offered_later,
            "skip_step": extra.offered_later,
        },
        helps=("yes", "no", "ask_later", "repeat"),
        leads_on=lambda here: ("next",) if is_answered_here(here) else ("yes", "no", "ask_later"),
        next_goes_on=is_answered_here,
        likely=lambda _: (),
    ),
    Row(
        Common.STOPPED,
        means="a branch ended that stops the job; it goes on only for a reason",
        acts={
            **work_acts(),
            "next": branches.next_at_stop,
            "skip": branches.past_stop,
            "skip_step": branches.past_stop,
        },
        helps=("skip", "finish", "left", "go_back"),
        leads_on=lambda here: ("next",) if was_passed(here) else ("skip", "finish"),
        next_goes_on=was_passed,
        likely=lambda _: (),
    ),
    Row(
        Common.GRANTED_BY,
        means="somebody granted work beside the job, and who it was is asked",
        acts={
            "by_customer": extra.by_role(GrantRole.CUSTOMER),
            "by_manager": extra.by_role(GrantRole.MANAGER),
            "by_office": extra.by_role(GrantRole.OFFICE),
            "operator": extra.by_operator,
            **_OVER,
            WORDS: extra.by_name,
        },
        layer=Layer.OVER,
        onto=(Common.GRANTED_HOW,),
        page=PageMode.ASKING,
        helps=("by_customer", "by_manager", "by_office", "cancel"),
        leads_on=lambda _: ("by_customer", "by_manager", "by_office"),
        likely=lambda _: (),
    ),
    Row(
        Common.GRANTED_HOW,
        means="it is known who granted work beside the job, and whether by telephone or in person is asked",
        acts={
            "by_telephone": extra.in_way(GrantWay.TELEPHONE),
            "in_person": extra.in_way(GrantWay.IN_PERSON),
            **_OVER,
        },
        layer=Layer.OVER,
        onto=(Common.CONFIRMING,),
        page=PageMode.ASKING,
        helps=("by_telephone", "in_person", "cancel"),
        leads_on=lambda _: ("by_telephone", "in_person"),
        likely=lambda _: (),
    ),
    Row(
        Common.SEVERITY,
        means="a finding was taken down, and how bad it is, is asked",
        acts={
            "before_running": extra.as_bad_as(Severity.BEFORE_RUNNING),
            "next_service": extra.as_bad_as(Severity.NEXT_SERVICE),
            "only_watch": extra.as_bad_as(Severity.WATCH),
            "at_step": extra.finding_elsewhere,
            CORRECT: correcting.correct_words,
            **_OVER,
        },
        layer=Layer.OVER,
        onto=(Common.CONFIRMING, Common.DICTATION),
        page=PageMode.ASKING,
        helps=("before_running", "next_service", "only_watch", "at_step"),
        leads_on=lambda _: ("before_running", "next_service", "only_watch"),
        likely=lambda _: (),
    ),
)
