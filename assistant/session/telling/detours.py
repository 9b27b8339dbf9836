"""What is said of going elsewhere than on, and of what may be done while something is waited for."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.detours import AskGoTo, NotGone, Obstacle, WentTo
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.procedure.model import TimerKind
from assistant.session.detours import open_behind, origin, waits_at
from assistant.session.meanwhile import may_be_done, waits_running
from assistant.session.obstacles import in_the_way
from assistant.session.places import EndPlace, StepPlace
from assistant.session.planning import in_plan_order
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells

_OFFERED = 2
"""So many steps are offered unasked; a question is answered with four at most."""


def place_called(t: Telling, key: str) -> StepAt | None:
    """Return how the step with the key is called; None for another place."""
    at = t.job.index.get(key)
    place = t.job.places[at] if at is not None else None
    return place.called if isinstance(place, StepPlace) else None


def _all_called(t: Telling, keys: Sequence[str]) -> list[StepAt]:
    return [one for one in (place_called(t, key) for key in keys) if one is not None]


@tells(WentTo)
def _went_to(t: Telling, fact: WentTo) -> None:
    """Say what stays open, and what a step lacks that is come back to; the place is read out as the job arrives there.

    Who goes back to where a detour began has heard before what stays open.
    """
    if fact.by_itself:
        t.fixed(Sentence.BACK_AGAIN)
    elif fact.place not in t.before.state.detour:
        t.say(t.language.detours.stays_open(_all_called(t, fact.stays_open)))
    found = in_the_way(t, t.job.places[t.job.index[fact.place]])
    if found is not None and found.why not in _SAID_THERE:
        t.say(*t.language.detours.obstacle(found.why.value, found.name, place_called(t, found.step)))


_SAID_THERE = (Obstacle.LOCK_IN, Obstacle.NEED, Obstacle.PREPARATION, Obstacle.NO_STEP)
"""What is said of a step wherever it is read out, or is no matter where nobody names a place."""


_FIXED = {
    Obstacle.NO_STEP: Sentence.NO_SUCH_STEP,
    Obstacle.HERE: Sentence.YOU_ARE_THERE,
    Obstacle.PREPARATION: Sentence.FIRST_PREPARATION,
}


@tells(NotGone)
def _not_gone(t: Telling, fact: NotGone) -> None:
    if fact.why in _FIXED:
        t.fixed(_FIXED[fact.why])
        return
    found = in_the_way(t.before, t.job.places[t.job.index[fact.place]])
    name = found.name if found is not None else ""
    t.fixed(Sentence.NOT_GONE)
    t.say(*t.language.detours.obstacle(fact.why.value, name, place_called(t, fact.step)))


def way_words(t: Telling, question: AskGoTo) -> list[str]:
    """Read the hazards on the way, and ask for the word."""
    words = [t.text(Sentence.HEAR_HAZARD)] if question.again else [t.text(Sentence.ON_THE_WAY)]
    for key, number in question.hazards:
        hazard = t.job.places[t.job.index[key]].hazards[number - 1]
        words.append(t.language.steps.hazard(hazard.word.value, hazard.hazard, hazard.consequence, hazard.avoid))
    return [*words, t.language.detours.way_confirmed(place_called(t, question.place))]


add_read_back(AskGoTo, ReadBack(words=way_words))


# Where the job is


def detour_words(t: Telling) -> list[str]:
    """Say that this is a detour, from where, and how to go back; [] where it is none."""
    back = origin(t)
    if back is None:
        return []
    return [t.language.detours.on_detour(place_called(t, t.job.places[back].key)), t.text(Sentence.SAY_BACK)]


def behind_words(t: Telling) -> list[str]:
    """Say which steps before the present place are open."""
    return [t.language.detours.steps_open(_all_called(t, open_behind(t)))]


def end_words(t: Telling) -> list[str]:
    """Say what is open behind the last step, and how to go there; [] for nothing."""
    steps = _all_called(t, open_behind(t)) if isinstance(t.place, EndPlace) else []
    return [t.language.detours.steps_open(steps), t.language.detours.say_go_to(steps[0])] if steps else []


def open_needs(t: Telling, place: StepPlace) -> str:
    """Say which steps the procedure says are needed here and are open, or ""."""
    open_ones = [] if place.key in t.state.done else [
        name for name in place.step.needs or () if name not in t.state.done
    ]  # fmt: skip
    return t.language.detours.needs(_all_called(t, open_ones))


# While something is waited for


def offered_words(t: Telling, timer: str, most: int = _OFFERED) -> list[str]:
    """Say what may be done while ``timer`` runs; [] for nothing."""
    kind = t.job.timers[timer].kind
    cools = {TimerKind.COOL: True, TimerKind.CURE: False}.get(kind)
    return t.language.detours.may_do([place.called for place in in_plan_order(t, may_be_done(t))[:most]], cools)


def meanwhile_asked(t: Telling) -> list[str]:
    """Answer what may be done while something is waited for."""
    running = waits_running(t)
    if not running:
        return [t.text(Sentence.NO_WAIT)]
    return offered_words(t, running[0], most=4) or [t.text(Sentence.NOTHING_MEANWHILE)]


def back_to_wait(t: Telling, timer: str) -> str:
    """Say how to go back to the wait for ``timer`` from which a detour began; "" where none did."""
    here = t.after
    if waits_at(here, origin(here)) == timer:
        return t.text(Sentence.SAY_BACK)
    waits = [key for key in here.state.detour if waits_at(here, here.job.index.get(key)) == timer]
    step = place_called(t, waits[-1]) if waits else None
    return t.language.detours.say_go_to(step) if step else ""
