"""The answers about what comes: the next thing, and the next three. Nothing of it moves the job."""

from __future__ import annotations

from assistant.session.here import Here
from assistant.session.part import part_of
from assistant.session.places import AnyPlace, CardPlace, SafetyPlace, StepPlace
from assistant.session.telling.core import Telling
from assistant.session.telling.preparing import card_things

_THREE = 3


def what_next(t: Telling) -> list[str]:
    """Say what comes after this: in the same step, where its kind knows of something, else the next place."""
    step = t.step
    own = part_of(step).answers.get("what_next") if step is not None and t.unread is None else None
    inside = own(t, step) if own is not None else ()
    return list(inside) or _told(t, _after(t, 1))


def next_three(t: Telling) -> list[str]:
    """Say the next three places; asked again at once, the three behind them."""
    return _told(t, _after(t, _THREE * t.state.asked[1])[_THREE * (t.state.asked[1] - 1) :])


def _after(here: Here, most: int) -> list[AnyPlace]:
    """Return the next places, at most so many."""
    found: list[AnyPlace] = []
    at = here.at
    while len(found) < most and (after := here.place_after(at)) != at:
        found.append(here.job.places[after])
        at = after
    return found


def _told(t: Telling, places: list[AnyPlace]) -> list[str]:
    words = [word for place in places for word in _words(t, place)]
    return words or [t.language.questions.comes_end()]


def _words(t: Telling, place: AnyPlace) -> list[str]:
    say = t.language.questions
    match place:
        case StepPlace():
            waits = [number for number in range(len(place.hazards)) if (place.key, number) not in t.state.acknowledged]
            hazard = place.hazards[waits[0]].word.value if waits else ""
            return say.comes(place.called, place.step.text, hazard)
        case CardPlace():
            return [say.comes_thing(thing) for thing in card_things(t.job, place.key, t.language)]
        case SafetyPlace():
            return [say.comes_thing(t.language.steps.hazard_to_come(place.hazards[0].word.value))]
    return [say.comes_end()]
