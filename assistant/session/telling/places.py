"""Where the job is, and what is left of it."""

from __future__ import annotations

from assistant.facts.people import HandedOver
from assistant.procedure.refits import parts_off
from assistant.session import gates, locks
from assistant.session.extra_work import title_of
from assistant.session.open_things import open_places
from assistant.session.part import part_of
from assistant.session.places import CardPlace, OfferPlace, SafetyPlace, StepPlace, StopPlace
from assistant.session.telling import closing, detours, extra, going, people, preparing, second, timers
from assistant.session.telling.core import Telling, tells

MOST_TOLD = 4
"""How many notes, problems and deviations are told to whoever takes over, the newest ones."""


def whereabouts(t: Telling) -> list[str]:
    """Say in one breath where the job is, and where a detour leads back to."""
    return [_place_words(t), *detours.detour_words(t)]


def _place_words(t: Telling) -> str:
    place, hazard = t.place, t.unread is not None
    match place:
        case OfferPlace(within=within):
            return t.language.extra.at_offer(title_of(t, within[-1]))
        case StopPlace():
            return t.language.extra.at_stop()
        case CardPlace() | SafetyPlace():
            return t.language.steps.in_preparation(hazard=hazard)
        case StepPlace(step=step):
            inside = part_of(step).where
            if inside is not None:
                return inside(t, step)
            return t.language.steps.at_step(place.called, place.of, hazard=hazard)
    return t.language.steps.at_end()


def left_words(t: Telling) -> list[str]:
    """Say what is still to do, in this step first, then in the job, and what went wrong in it."""
    steps = closing.called(t)
    number = sum(key in steps for key in open_places(t))
    inside = part_of(t.step).left(t, t.step) if t.step is not None else ()
    behind = detours.behind_words(t)
    return [*inside, t.language.steps.steps_left(number), *behind, *closing.trouble_words(t)]


def break_words(t: Telling) -> list[str]:
    """Return what must be heard of a step that is taken up again; a hazard that waits comes before it."""
    return list(part_of(t.step).after_break(t, t.step)) if t.step is not None and t.unread is None else []


def brief_words(t: Telling) -> list[str]:
    """Say where the job is, what is open, noted, accepted, timed, and what is off and not back on."""
    state, steps = t.state, closing.called(t)
    of = t.language.handover
    told = state.told[-MOST_TOLD:]
    words = [
        *whereabouts(t),
        *break_words(t),
        t.language.steps.steps_done(sum(key in steps for key in state.done)),
        t.language.steps.steps_left(sum(key in steps for key in open_places(t))),
        *detours.behind_words(t),
        of.left_out([steps[key] for key in state.skipped if key in steps]),
        t.language.seconds.locked_in([t.job.items[one].name for one in locks.locks_in(t)]),
        t.language.seconds.not_witnessed([place.called for place in gates.without_witness(t)]),
        *preparing.missing_words(t, state.missing),
        *extra.brief_extra(t),
        *closing.held_open_words(t),
        of.stripped(_out(t)),
        of.off(parts_off(t.job.refits, state.done)),
        *timers.live_words(t),
        *people.helping_words(t),
        *(of.told(one.kind, steps.get(one.step), one.words, corrected=one.corrected) for one in told),
        of.told_before(len(state.told) - len(told)),
    ]
    if t.unread is not None:  # whoever takes over may not have heard it
        words.append(going.hazard_words(t, t.place.hazards[t.unread]))
    return [*words, *second.second_words(t, t.language)]


def _out(t: Telling) -> list[tuple[str, int]]:
    """Return name and number of the fasteners that are out and not yet back in."""
    places = (place for place in t.places if isinstance(place, StepPlace))
    return [pair for place in places for pair in part_of(place.step).stripped(t, place.step)]


@tells(HandedOver)
def _handed_over(t: Telling, fact: HandedOver) -> None:
    t.say(t.language.handover.welcome(fact.taken_by, fact.left_by), *brief_words(t))
