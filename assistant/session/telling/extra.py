"""What is said of extra work and of findings: offered, granted, declined, done, open."""

from __future__ import annotations

from assistant.facts.extra import (
    AskDecline,
    AskDone,
    AskFinding,
    AskGrant,
    ExtraAsked,
    ExtraDeclined,
    ExtraDone,
    ExtraGranted,
    ExtraMinutes,
    FindingBegun,
    FindingKept,
    FindingLeft,
    FindingPlaced,
    FindingTaken,
    GrantBegun,
    GrantBy,
    GrantWay,
)
from assistant.facts.going import Arrived
from assistant.facts.inputs import Understood
from assistant.language.port import Language
from assistant.language.values import StepAt
from assistant.session.branching import branch_of
from assistant.session.common import Common
from assistant.session.extra_work import is_answered_here, is_done, next_number, stands, title_of, was_passed, works
from assistant.session.here import Here
from assistant.session.obstacles import stops_before
from assistant.session.open_things import extra_open
from assistant.session.places import OfferPlace, StepPlace
from assistant.session.state import ExtraIs
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells

_MOST_TOLD = 4


def offer_words(t: Telling, place: OfferPlace) -> list[str]:
    """Return the offer of extra work, or of what an answer led to, and how it is answered."""
    work, branch = place.within[-1], place.branch
    if is_answered_here(t):
        extra = t.state.extra[work]
        stood = t.language.extra.work_stands(extra.number, title_of(t, work), extra.stands.value)
        return [stood, t.language.customer.next_goes_on()]
    number = t.state.extra[work].number if work in t.state.extra else next_number(t)
    return t.language.extra.offer_work(number, title_of(t, work), branch.why, branch.minutes)


def _step_at(t: Telling, step: str) -> StepAt | None:
    place = t.job.places[t.job.index[step]] if step in t.job.index else None
    return place.called if isinstance(place, StepPlace) else None


@tells(ExtraAsked)
def _asked(t: Telling, fact: ExtraAsked) -> None:
    """Say that a question is left open; the offer itself is read out as the job comes to it."""
    given = t.facts[0]
    stays = t.state.extra[fact.work].stands is ExtraIs.ASKED if fact.work in t.state.extra else False
    if isinstance(given, Understood) and fact.work in t.before.state.extra and stays:
        t.say(t.language.extra.later(fact.number))


@tells(ExtraDeclined)
def _declined(t: Telling, _: ExtraDeclined) -> None:
    t.say(t.language.extra.work_declined())


@tells(GrantBegun)
def _grant_begun(t: Telling, _: GrantBegun) -> None:
    t.say(*t.language.extra.granted_by(len(t.state.operators)))


@tells(GrantBy)
def _grant_by(t: Telling, _: GrantBy) -> None:
    t.say(t.language.extra.granted_how())


@tells(ExtraGranted)
def _granted(t: Telling, fact: ExtraGranted) -> None:
    """Say that it is granted, and what leads to it where it is not what comes next."""
    if fact.way is GrantWay.PAGE:
        t.say(t.language.customer.answered(fact.number, granted=True))
    else:
        t.say(t.language.extra.work_granted(fact.number))
    if branch_of(t.job, fact.work) is None:
        t.say(t.language.extra.granted_no_steps(fact.number))
    elif fact.work in t.place.within:
        tell_next(t)
    else:
        step = _step_at(t, fact.work.rpartition(":")[0])
        stops = any(one.within[-1] == fact.work for one in stops_before(t, t.at))
        t.say(t.language.extra.granted_elsewhere(fact.number, step, stops=stops) if step is not None else "")


def tell_next(t: Telling) -> None:
    """Say what goes on where the job stands at an offer that the customer answered meanwhile."""
    if is_answered_here(t) and not t.has(Arrived):  # a place that is come to tells it itself
        t.say(t.language.customer.next_goes_on())


@tells(ExtraDone)
def _done(t: Telling, fact: ExtraDone) -> None:
    t.say(t.language.extra.work_done(fact.number))


@tells(ExtraMinutes)
def _minutes(t: Telling, fact: ExtraMinutes) -> None:
    t.say(t.language.extra.takes_minutes(fact.number, fact.minutes))


@tells(FindingBegun)
def _clock_runs(t: Telling, fact: FindingBegun) -> None:
    t.say(*t.language.extra.clock_runs(fact.number))


@tells(FindingLeft)
def _clock_stands(t: Telling, fact: FindingLeft) -> None:
    """Say that its time stands, but where what ended it says so."""
    if not t.has(ExtraDone) and not t.has(FindingBegun) and not t.has(ExtraDeclined):
        t.say(t.language.extra.clock_stands(fact.number))


def list_words(t: Telling) -> list[str]:
    """Return how each piece of extra work stands, the newest ones."""
    found = list(t.state.extra.items())[-_MOST_TOLD:]
    told = [_stands_words(t, work, stands(t, work)) for work, _ in found]
    return told or [t.language.extra.none()]


def open_extra(t: Telling) -> list[str]:
    """Name the extra work that is open: nobody answered, it is not done, or it was declined and may not wait."""
    named = []
    for work in extra_open(t):
        extra, title = t.state.extra[work], title_of(t, work)
        match extra.stands:
            case ExtraIs.ASKED:
                named.append(t.language.extra.open_asked(extra.number, title))
            case ExtraIs.GRANTED:
                named.append(t.language.extra.open_granted(extra.number, title))
            case _:
                named.append(t.language.extra.open_before_running(extra.number, title))
    return named


def brief_extra(t: Telling) -> list[str]:
    """Return what whoever takes over must know of extra work: what waits, and what is granted."""
    found = [one for one in works(t, ExtraIs.ASKED, ExtraIs.GRANTED) if not is_done(t, one[0])][-_MOST_TOLD:]
    return [_stands_words(t, work, one.stands) for work, one in found]


def _stands_words(t: Telling, work: str, how: ExtraIs) -> str:
    extra = t.state.extra[work]
    return t.language.extra.work_stands(extra.number, title_of(t, work), how.value, corrected=extra.corrected)


def which_words(t: Telling) -> list[str]:
    """Ask which extra work is meant."""
    numbers = [one.number for _, one in works(t, ExtraIs.ASKED, ExtraIs.GRANTED, ExtraIs.ADVISED, ExtraIs.DECLINED)]
    return [t.language.extra.which(numbers)] if len(numbers) > 1 else [t.language.extra.no_extra()]


def asked_now(here: Here, language: Language) -> str:
    """Return what is asked about extra work at this moment, for a display; "" where nothing is."""
    t = Telling(here.job, here.state, (), here.now_ms, language, "")
    match here.phase, here.place:
        case Common.GRANTED_BY, _:
            said = language.extra.granted_by(len(here.state.operators))
        case Common.GRANTED_HOW, _:
            said = [language.extra.granted_how()]
        case Common.SEVERITY, _:
            said = [language.extra.finding_ask()]
        case Common.OFFERING, OfferPlace() as place:
            said = offer_words(t, place)
        case Common.STOPPED, _:
            said = language.extra.stops(passed=was_passed(here))
        case _:
            said = []
    return " ".join(filter(None, said))


def extra_shown(here: Here, language: Language) -> list[str]:
    """Return the extra work that is open, for a display."""
    return open_extra(Telling(here.job, here.state, (), here.now_ms, language, ""))


# Findings


@tells(FindingTaken)
def _finding_taken(t: Telling, _: FindingTaken) -> None:
    if t.state.finding is not None:
        t.say(t.language.extra.finding_ask())


@tells(FindingPlaced)
def _finding_placed(t: Telling, fact: FindingPlaced) -> None:
    t.say(t.language.extra.finding_at(_step_at(t, fact.step)), t.language.extra.finding_ask())


@tells(FindingKept)
def _finding_kept(t: Telling, fact: FindingKept) -> None:
    """Say under which number it is kept; and why not under that of the one that it was to correct."""
    said_again = t.before.state.finding
    if said_again is not None and said_again.number and said_again.number != fact.number:
        t.say(t.language.customer.finding_stays(said_again.number))
    t.say(*t.language.extra.finding_kept(fact.number, silent=bool(fact.silent_ms), severity=fact.severity.value))


def _finding_words(t: Telling, question: AskFinding) -> list[str]:
    found = t.state.finding
    if found is None:
        return []
    return t.language.extra.finding_read(found.text, _step_at(t, found.step), question.severity.value)


def _grant_words(t: Telling, question: AskGrant) -> list[str]:
    grant = t.state.granting
    if grant is None or grant.role is None:
        return []
    return t.language.extra.grant_ask(
        question.number, title_of(t, question.work), grant.role.value, grant.name, question.way.value
    )


def _decline_words(t: Telling, question: AskDecline) -> list[str]:
    return t.language.extra.decline_ask(question.number, title_of(t, question.work))


def _done_words(t: Telling, question: AskDone) -> list[str]:
    return t.language.extra.done_ask(question.number, title_of(t, question.work))


add_read_back(AskGrant, ReadBack(_grant_words, reads_again=True))
add_read_back(AskDecline, ReadBack(_decline_words))
add_read_back(AskDone, ReadBack(_done_words))
add_read_back(AskFinding, ReadBack(_finding_words))
