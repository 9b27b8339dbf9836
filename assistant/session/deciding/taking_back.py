"""Taking back: the last confirmation of which anything is left, read back first; then the one before it."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts import Fact
from assistant.facts.correcting import FindingAsBefore, NoteAsBefore
from assistant.facts.going import Arrived, RefusedWhy, ThingAsked
from assistant.facts.people import HelperAsBefore
from assistant.facts.photos import PhotoDropped
from assistant.facts.taking_back import AskTakeBack, TakenBack
from assistant.session.deciding import asking, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.detours import first_open
from assistant.session.evolving.last import confirmation_of, last_confirmation
from assistant.session.part import part_of
from assistant.session.places import StepPlace
from assistant.session.state import Confirmation


def take_back(d: Deciding, _: Command) -> None:
    """Read back what would be taken back."""
    last = last_confirmation(d.state)
    if last is None:
        d.refuse(RefusedWhy.NOTHING_TO_TAKE_BACK)
    else:
        asking.ask(d, AskTakeBack(heard_ms=last.heard_ms))


def _taken_back(d: Deciding, question: AskTakeBack, _reason: str) -> None:
    """Open again what was confirmed, the last of it first, and go back to where that was."""
    one = confirmation_of(d.state, question.heard_ms)
    if one is None:  # it was asked about by a version that took something else for the last one
        d.refuse(RefusedWhy.NOTHING_TO_TAKE_BACK)
        return
    stays = bool(one.back) and all(_has_no_place(d, one, fact) for fact in one.back)
    place = d.state.place if stays else one.place
    d.put(TakenBack(heard_ms=one.heard_ms, place=place, confirmed_by=one.operator, by=d.state.operator))
    for fact in reversed(one.back):
        d.put(fact)
    if stays:
        moving.settle(d)
    else:
        _return_to(d, one)


def _has_no_place(d: Deciding, one: Confirmation, back: Fact) -> bool:
    """Return whether nothing in the work is open again: of who helps, of words, of a photo that no step demands."""
    place = d.job.places[d.job.index[one.place]] if one.place in d.job.index else None
    demanded = isinstance(place, StepPlace) and place.step.photo
    return isinstance(back, HelperAsBefore | NoteAsBefore | FindingAsBefore) or (
        isinstance(back, PhotoDropped) and not demanded
    )


def _return_to(d: Deciding, one: Confirmation) -> None:
    """Stand where it was confirmed, or stay before it: nobody comes past a hazard or an open step by taking back."""
    at = d.job.index.get(one.place)
    begun = _begun_before(d, d.at if at is None else min(at, d.at))
    if begun is not None:
        moving.arrive(d, begun)
        return
    if at is None or (at > d.at and not d.shut(d.place)):
        here = d.step  # what was taken back may open bolts of it that come before those where it stands
        if here is None or d.unread is not None or not part_of(here).return_to(d, here, None):
            moving.settle(d)
        return
    first = first_open(d, at)  # on from a branch that is shut now: what was taken back before lies between
    if first != at:
        moving.arrive(d, first)
        return
    place = d.job.places[at]
    step = place.step if isinstance(place, StepPlace) else None
    if at == d.at and step is not None and d.unread is None and part_of(step).return_to(d, step, one.bolt):
        return
    if step is not None:
        timers.run_on(d, step)
    d.put(Arrived(place=one.place, bolt=one.bolt, hazards_anew=at != d.at))
    if one.thing:
        d.put(ThingAsked(place=one.place, number=one.thing))
    moving.settle(d)


def _begun_before(d: Deciding, at: int) -> int | None:
    """Return the index of the first step before ``at`` in which bolts are open again; None where there is none."""
    state = d.state
    return next(
        (
            number
            for number, place in enumerate(d.job.places[:at])
            if place.key in state.at_bolt
            and place.key not in state.done
            and place.key not in state.skipped
            and not d.shut(place)
        ),
        None,
    )


add_grant(AskTakeBack, _taken_back, anew=("take_back",))
