"""Extra work: offered, granted by somebody, declined, begun, done; and findings, with place and severity."""

from __future__ import annotations

from collections.abc import Callable

from assistant.events import Command
from assistant.facts.asking import Dictated, DictationBegun
from assistant.facts.detours import NotGone, Obstacle
from assistant.facts.extra import (
    AskDecline,
    AskDone,
    AskFinding,
    AskGrant,
    BranchLeft,
    ExtraAsked,
    ExtraBegun,
    ExtraDeclined,
    ExtraDone,
    ExtraGranted,
    ExtraLeftOpen,
    FindingPlaced,
    GrantBegun,
    GrantBy,
    GrantRole,
    GrantWay,
    Severity,
)
from assistant.facts.going import Moved, RefusedWhy
from assistant.session import extra_work
from assistant.session.branching import branch_of
from assistant.session.deciding import asking, clocking, customer, findings, moving
from assistant.session.deciding.branches import open_branch
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.detours import jumped_over, step_open
from assistant.session.obstacles import in_the_way
from assistant.session.places import OfferPlace, StopPlace
from assistant.session.state import ExtraIs

# At the place where it is offered


def offered_yes(d: Deciding, _: Command) -> None:
    """Take that the offer is wanted: who grants it is asked, unless the customer has granted it on the page."""
    work = d.place.within[-1]
    if extra_work.was_granted_on_page(d, work):
        moving.advance(d)
    else:
        _begin(d, work)


def offered_no(d: Deciding, _: Command) -> None:
    """Take that it is not wanted; what the customer granted on the page is declined as any other work is."""
    work = d.place.within[-1]
    if extra_work.was_granted_on_page(d, work):
        asking.ask(d, AskDecline(work=work, number=d.state.extra[work].number))
        return
    if extra_work.is_answered_on_page(d, work):
        moving.advance(d)
        return
    d.put(ExtraDeclined(work=work, number=d.state.extra[work].number, at_ms=d.now_ms))
    moving.advance(d)


def offered_next(d: Deciding, _: Command) -> None:
    """Go on behind an answer of the customer; without one, the offer wants another word."""
    if extra_work.is_answered_on_page(d, d.place.within[-1]):
        moving.advance(d)
    else:
        d.refuse(RefusedWhy.ASKS)


def offered_later(d: Deciding, _: Command) -> None:
    """Leave the question open, and go on; one that the customer has answered on the page stays answered."""
    work = d.place.within[-1]
    if extra_work.is_answered_on_page(d, work):
        moving.advance(d)
        return
    d.put(ExtraAsked(work=work, number=d.state.extra[work].number))
    moving.advance(d)


# Granted or declined, anywhere


def _chosen(d: Deciding, command: Command, *stands: ExtraIs) -> str | None:
    """Return the extra work that is meant, by its number or as the only one that stands so; None after a refusal."""
    if command.number is not None:
        work = extra_work.work_numbered(d, int(command.number))
        if work is not None and d.state.extra[work].stands in stands:
            return work
        d.refuse(RefusedWhy.NO_EXTRA)
        return None
    fit = extra_work.works(d, *stands)
    if stands != (ExtraIs.GRANTED,):
        fit = [one for one in fit if one[1].stands is ExtraIs.ASKED] or fit
    if len(fit) == 1:
        return fit[0][0]
    d.refuse(RefusedWhy.WHICH_EXTRA if fit else RefusedWhy.NO_EXTRA)
    return None


def grant_work(d: Deciding, command: Command) -> None:
    """Take that extra work is granted: who did, and how, is asked and read back."""
    work = _chosen(d, command, ExtraIs.ASKED, ExtraIs.DECLINED, ExtraIs.ADVISED)
    if work is not None:
        _begin(d, work)


def _begin(d: Deciding, work: str) -> None:
    d.put(GrantBegun(work=work, at_ms=d.now_ms))


def decline_work(d: Deciding, command: Command) -> None:
    """Take that extra work is declined."""
    work = _chosen(
        d, command, *((ExtraIs.ASKED, ExtraIs.GRANTED) if _granted_on_page(d, command) else (ExtraIs.ASKED,))
    )
    if work is not None:
        asking.ask(d, AskDecline(work=work, number=d.state.extra[work].number))


def _granted_on_page(d: Deciding, command: Command) -> bool:
    """Return whether work is meant that the customer granted on the page, and of which nothing was begun."""
    work = extra_work.work_numbered(d, int(command.number)) if command.number is not None else None
    return work is not None and extra_work.was_granted_on_page(d, work) and not extra_work.work_begun(d, work)


def by_role(role: GrantRole) -> Callable[[Deciding, Command], None]:
    """Return what takes somebody by what they are."""
    return lambda d, _: d.put(GrantBy(role=role, at_ms=d.now_ms))


def by_operator(d: Deciding, command: Command) -> None:
    """Take somebody who works on the job, by number."""
    number, known = int(command.number or 0), d.state.operators
    if 1 <= number <= len(known):
        d.put(GrantBy(role=GrantRole.PERSON, name=known[number - 1], at_ms=d.now_ms))
    else:
        d.refuse(RefusedWhy.NO_SUCH_OPERATOR)


def by_name(d: Deciding, command: Command) -> None:
    """Take a name that was typed."""
    d.put(GrantBy(role=GrantRole.PERSON, name=" ".join(command.text.split()), at_ms=d.now_ms))


def in_way(way: GrantWay) -> Callable[[Deciding, Command], None]:
    """Return what takes how it was granted, and reads all of it back."""

    def take(d: Deciding, _: Command) -> None:
        grant = d.state.granting
        if grant is None:
            raise RuntimeError("Nothing is being granted.")
        asking.ask(d, AskGrant(work=grant.work, number=d.state.extra[grant.work].number, way=way))

    return take


def _granted(d: Deciding, question: AskGrant, _reason: str) -> None:
    if customer.put_aside(d, question, question.work):
        return
    grant = d.state.granting
    if grant is None or grant.role is None:
        raise RuntimeError("Nobody said who granted it.")
    d.put(
        ExtraGranted(
            work=question.work, number=question.number, role=grant.role, name=grant.name, way=question.way,
            at_ms=d.now_ms,
        )
    )  # fmt: skip
    if branch_of(d.job, question.work) is None:
        return
    open_branch(d, question.work)
    if isinstance(d.place, OfferPlace) and d.place.within[-1] == question.work:
        moving.advance(d)


def _declined(d: Deciding, question: AskDecline, _reason: str) -> None:
    if customer.put_aside(d, question, question.work):
        return
    if question.work in d.state.branches:  # the customer had granted it on the page: it is shut again
        d.put(BranchLeft(branch=question.work))
        d.put(ExtraAsked(work=question.work, number=question.number))
    if d.state.clocked == question.work:
        clocking.stop_finding(d)
    d.put(ExtraDeclined(work=question.work, number=question.number, at_ms=d.now_ms))
    if isinstance(d.place, OfferPlace) and d.place.within[-1] == question.work:
        moving.advance(d)


# Begun out of its turn, and done


def start_work(d: Deciding, command: Command) -> None:
    """Go to granted work, and remember where to go back to behind it."""
    if command.number is not None:
        meant = extra_work.work_numbered(d, int(command.number))
        if meant is not None and d.state.extra[meant].stands is not ExtraIs.GRANTED:
            d.refuse(RefusedWhy.NOT_GRANTED)
            return
    work = _chosen(d, command, ExtraIs.GRANTED)
    if work is None:
        return
    at = extra_work.first_place(d, work)
    if branch_of(d.job, work) is None:
        clocking.begin_finding(d, work)
    elif at is None:
        d.refuse(RefusedWhy.NO_STEPS)
    elif work in d.place.within and not _stops_before_it(d, work):
        d.refuse(RefusedWhy.DONE_BEFORE if extra_work.is_done(d, work) else RefusedWhy.ASKS)
    else:
        _go_to_work(d, work, at)


def _stops_before_it(d: Deciding, work: str) -> bool:
    """Return whether the job stands where it stops behind ``work``, and steps of that are open."""
    inside = (at for at, place in enumerate(d.job.places) if work in place.within)
    return isinstance(d.place, StopPlace) and any(step_open(d, at) for at in inside)


def _go_to_work(d: Deciding, work: str, at: int) -> None:
    """Go to the first place of granted work, at the index ``at``, as to any step that is named.

    What is open before it comes first, and so does the step that it is to be done at.
    """
    place, owner = d.job.places[at], work.rpartition(":")[0]
    found = in_the_way(d, place)
    owner_open = [owner] * step_open(d, d.job.index[owner])
    before = next(iter([*jumped_over(d, at), *owner_open]), None)
    if found is not None:
        d.put(NotGone(place=place.key, why=found.why, what=found.what, step=found.step))
    elif before is not None:
        d.put(NotGone(place=place.key, why=Obstacle.NEED, what=before, step=before))
    else:
        if work not in d.place.within:  # else it leads on to the stop behind it by itself
            d.put(ExtraBegun(work=work, back_to=d.place.key))
        d.put(Moved(place=place.key))
        moving.arrive(d, at)


def work_is_done(d: Deciding, command: Command) -> None:
    """Take that granted work without steps is done; that with steps is done by them."""
    work = _chosen(d, command, ExtraIs.GRANTED)
    if work is None:
        return
    if branch_of(d.job, work) is not None:
        d.refuse(RefusedWhy.HAS_STEPS)
    else:
        asking.ask(d, AskDone(work=work, number=d.state.extra[work].number))


def _done(d: Deciding, question: AskDone, _reason: str) -> None:
    if d.state.clocked == question.work:
        clocking.stop_finding(d)
    d.put(ExtraDone(work=question.work, number=question.number))


# Findings


def finding(d: Deciding, _: Command) -> None:
    """Begin to take a finding down."""
    d.put(DictationBegun(what=Dictated.FINDING, at_ms=d.now_ms))


def finding_elsewhere(d: Deciding, command: Command) -> None:
    """Take another step as the place of a finding."""
    place = extra_work.step_numbered(d, int(command.number or 0))
    if place is None:
        d.refuse(RefusedWhy.NO_SUCH_STEP)
    else:
        d.put(FindingPlaced(step=place.key, at_ms=d.now_ms))


def as_bad_as(severity: Severity) -> Callable[[Deciding, Command], None]:
    """Return what takes how bad a finding is, and reads it back."""
    return lambda d, _: asking.ask(d, AskFinding(severity=severity))


def left_open(d: Deciding) -> None:
    """Put down, as the job is closed, what of the extra work is left open."""
    asked, granted_ones = extra_work.waits_for_answer(d), extra_work.granted_not_done(d)
    if asked or granted_ones:
        d.put(ExtraLeftOpen(asked=tuple(asked), granted=tuple(granted_ones)))


add_grant(AskGrant, _granted)
add_grant(AskDecline, _declined)
add_grant(AskDone, _done)
add_grant(AskFinding, lambda d, question, _: findings.keep(d, question.severity))
