"""Going from place to place."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import AskSkipStep, Skipped, SkippedWhat
from assistant.facts.detours import WentTo
from assistant.facts.extra import BranchEnd, BranchEnded, ExtraAsked
from assistant.facts.going import Arrived, CarriedOn, Moved, Paused, RefusedWhy
from assistant.facts.second import GateFirst
from assistant.facts.steps import StepDone
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Onward
from assistant.session import detours, gates, obstacles, photos
from assistant.session.branching import branch_of
from assistant.session.deciding import asking, clocking, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.extra_work import next_number
from assistant.session.part import SESSION, part_of
from assistant.session.places import EndPlace, OfferPlace, SafetyPlace, StepPlace


def arrive(d: Deciding, at: int) -> None:
    """Go to the place with the index ``at``."""
    place = d.job.places[at]
    clocking.stop_finding(d)
    bolt, anew = None, False
    if isinstance(place, StepPlace):
        timers.run_on(d, place.step)
        begin = part_of(place.step).arrive
        if begin is not None:
            bolt = begin(d, place.step)
            # Who comes back to a step that was left out is offered all of its bolts again.
            anew = place.key in d.state.skipped
    hazards_anew = isinstance(place, SafetyPlace) or place.key in d.state.done
    d.put(Arrived(place=place.key, bolt=bolt, hazards_anew=hazards_anew, bolts_anew=anew))
    if isinstance(place, OfferPlace) and place.within[-1] not in d.state.extra:
        d.put(ExtraAsked(work=place.within[-1], number=next_number(d)))
    settle(d)


def settle(d: Deciding) -> None:
    """Let the kind of the present step put what belongs to it now; a hazard that waits comes before anything of it."""
    if d.step is not None and d.unread is None:
        part_of(d.step).settle(d, d.step)


def begin_anew(d: Deciding) -> None:
    """Let each kind of step put what must be looked at anew when somebody takes the work up."""
    for part in KINDS.parts(SESSION).values():
        part.begin_anew(d)


def take_up(d: Deciding) -> None:
    """Let somebody take the work up."""
    begin_anew(d)
    if not d.state.paused:
        settle(d)


def _behind_what_was_done_meanwhile(d: Deciding) -> int:
    """Return the index of the next place; behind a wait, that of the first one that was not done while it lasted."""
    at, step = d.place_after(d.at), d.step
    if step is None or step.id not in d.state.done or part_of(step).waits_for(step) is None:
        return at
    while d.job.places[at].key in d.state.done and d.place_after(at) != at:
        at = d.place_after(at)
    return at


def advance(d: Deciding) -> None:
    """Go on to the next place: behind the last one of a branch, and of a detour, to where that leads back.

    What would go past a gate that is not passed goes to the gate, and so it is with a stop.
    """
    at, leads_back = _behind_what_was_done_meanwhile(d), False
    for key in reversed(d.place.within):
        if key in d.job.places[at].within:
            break
        if key not in d.state.branches:
            continue
        how, back = _end_of(d, key)
        d.put(BranchEnded(branch=key, step=key.rpartition(":")[0], how=how))
        if how is not BranchEnd.ON:
            # A step that was taken back meanwhile lies before the place to go back to: it is not passed over.
            at, leads_back = detours.first_open(d, d.job.index[back]), True
            break
    origin = detours.origin(d)
    if origin is not None and not leads_back and _detour_ends(d, at):
        left = tuple(detours.jumped_over(d, origin))
        d.put(WentTo(place=d.job.places[origin].key, since=d.place.key, stays_open=left, by_itself=True))
        at = origin
    stop = next(obstacles.stops_before(d, at), None)
    if stop is not None:
        at = d.job.index[stop.key]
    first = next(iter(gates.gates_before(d, at)), None)
    if first is not None:
        d.put(GateFirst(step=first.key))
        at = d.job.index[first.key]
    arrive(d, at)


def _detour_ends(d: Deciding, after: int) -> bool:
    """Return whether a detour leads back instead of on to ``after`` (index); never past where the job stops."""
    origin = detours.origin(d)
    if origin is not None and any(obstacles.stops_before(d, origin)):
        return False
    done_now = any(isinstance(fact, StepDone) and fact.step == d.place.key and not fact.repeated for fact in d.facts)
    return detours.leads_back(d, after, done_now=done_now)


def _end_of(d: Deciding, key: str) -> tuple[BranchEnd, str]:
    """Return how the branch ``key`` is left, and the place that it leads back to."""
    extra, branch, step = d.state.extra.get(key), branch_of(d.job, key), key.rpartition(":")[0]
    back = None if extra is None else d.job.index.get(extra.back_to)
    if back is not None and not d.shut(d.job.places[back]):  # an answer meanwhile may have shut it
        return BranchEnd.BACK, d.job.places[back].key
    if branch is not None and branch.then is Onward.AGAIN and step in d.state.deviations:
        return BranchEnd.AGAIN, step
    return BranchEnd.ON, ""


def go_back(d: Deciding, _: Command) -> None:
    """Go to the bolts before, or to the place before; nothing that was done is undone."""
    if d.step is not None and d.unread is None and part_of(d.step).back(d, d.step):
        return
    before = d.place_before(d.at)
    if before == d.at:
        d.refuse(RefusedWhy.START_OF_JOB)
        return
    d.put(Moved(place=d.job.places[before].key))
    arrive(d, before)


def next_or_ask(d: Deciding, _: Command) -> None:
    """Take "next" where something else is the answer: go on past what was answered before, and past nothing else."""
    if d.place.key not in d.state.done:
        d.refuse(RefusedWhy.ASKS)
        return
    if photos.lacks(d, d.step):
        d.refuse(RefusedWhy.PHOTO_FIRST)
        return
    after = d.place_after(d.at)
    if gates.holds(d, d.step) and not gates.goes_into_branch(d, after):
        d.refuse(RefusedWhy.GATE_OPEN)
        return
    if not _detour_ends(d, after):
        d.put(Moved(place=d.job.places[after].key))
    advance(d)


# Leaving out


def skip(d: Deciding, command: Command) -> None:
    """Take "skip this", or "skip this step": ask why the present thing, or all of the step, is left out."""
    match d.place:
        case SafetyPlace():
            d.refuse(RefusedWhy.SAFETY_STAYS)
        case EndPlace():
            d.refuse(RefusedWhy.NOTHING_TO_SKIP)
        case OfferPlace():
            d.refuse(RefusedWhy.ASKS)
        case StepPlace(key=key) if key in d.state.done:
            d.refuse(RefusedWhy.GATE_OPEN if gates.holds(d, d.step) else RefusedWhy.DONE_BEFORE)
        case StepPlace(step=step):
            inside = command.intent == "skip" and d.unread is None
            if not (inside and part_of(step).leave_out(d, step)):
                asking.demand_reason(d, AskSkipStep(step=step.id))


def _skipped(d: Deciding, question: AskSkipStep, reason: str) -> None:
    """Leave the step out."""
    step = d.step
    if step is None:
        raise RuntimeError("There is no step to leave out.")
    unread = sum((step.id, number) not in d.state.acknowledged for number in range(len(step.hazards)))
    d.put(Skipped(what=SkippedWhat.STEP, place=question.step, reason=reason, hazards_not_read=unread))
    if step.before_timer:
        timers.stop_if_last(d, step.before_timer)
    advance(d)


# Pauses


def pause(d: Deciding, _: Command) -> None:
    """Listen only for the word that ends the pause."""
    d.put(Paused())


def carry_on(d: Deciding, _: Command) -> None:
    """End a pause."""
    d.put(CarriedOn())
    settle(d)
    timers.ask_about_doubted(d)


add_grant(AskSkipStep, _skipped, leaves_out=True)
