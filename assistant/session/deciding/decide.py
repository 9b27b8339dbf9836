"""``decide``: from a state and an input to the facts that it brings about, by today's rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from assistant.events import Command
from assistant.facts import Fact
from assistant.facts.asking_back import AskedBack
from assistant.facts.customer import CustomerAnswered, CustomerAnsweredBefore
from assistant.facts.detours import WentTo
from assistant.facts.going import RefusedWhy
from assistant.facts.inputs import (
    ClockSet,
    NotUnderstood,
    Opened,
    Resumed,
    TimeCame,
    Understood,
    UnderstoodAlike,
    UnderstoodOf,
    UnsureOf,
)
from assistant.facts.packs import BoxKnown
from assistant.facts.photos import PhotoCame
from assistant.facts.reminders import TimesKnown
from assistant.facts.scan import Scanned
from assistant.facts.withdrawn import RevisionGone
from assistant.session import kinds, states, states_extra, table  # noqa: F401 (every kind and state enters its table)
from assistant.session.asked_back import open_question
from assistant.session.deciding import (
    asking_back,
    customer,
    hazards,
    moving,
    opening,
    photos,
    scanning,
    time,
    withdrawn,
)
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.intents import QUESTIONS
from assistant.session.job import Job
from assistant.session.obstacles import stops_before
from assistant.session.places import StepPlace
from assistant.session.state import State


def decide(job: Job, state: State, given: Fact, now_ms: int, quiet_ms: int = 0) -> tuple[Fact, ...]:
    """Return the facts that the input ``given`` brings about at ``now_ms``, itself first.

    ``quiet_ms`` is when the voice fell silent [both ms since the epoch]: what was asked waits from then on.
    """
    d = Deciding(job, state, given, now_ms, quiet_ms, table.step_to)
    asked = d.phase
    back = None if open_question(Here(job, state, now_ms)) is None else state.asked_back
    waiting = None if d.unread is None else (d.place.key, d.unread)
    if not isinstance(given, Resumed):  # then nobody was asked anything meanwhile: it takes the time up itself
        time.expire(d)
    if back is not None and isinstance(given, Understood):
        _answered_back(d, given, asked, back)
    else:
        _INPUTS[type(given)](d, given, asked)
    if isinstance(given, Understood):
        hazards.follow(d, waiting)
    return tuple(d.facts)


def _understood(d: Deciding, given: Understood, asked: str) -> None:
    """Carry out a command; what it answered may have ended a moment before it was heard."""
    if _is_late(d, given, asked):
        d.refuse(RefusedWhy.TOO_LATE)
    else:
        act(d, _command(given))


def _answered_back(d: Deciding, given: Understood, asked: str, back: AskedBack) -> None:
    """Carry out what is meant by the answer to something that was asked back."""
    if _is_late(d, given, asked):
        d.refuse(RefusedWhy.TOO_LATE)
    elif (command := asking_back.take_answer_back(d, back, given, _command(given))) is not None:
        act(d, command)


def _is_late(d: Deciding, given: Understood, asked: str) -> bool:
    return (state_silence(d, given) or asked != d.phase) and given.intent not in QUESTIONS


def _command(given: Understood) -> Command:
    name = given.name if isinstance(given, UnderstoodOf) else ""
    return Command(given.intent, given.number, given.words, name)


def state_silence(d: Deciding, given: Understood) -> bool:
    """Return whether "confirmed" was begun before the end of what it answers was told."""
    silence_ms = d.state.silence_ms
    return given.intent == "confirmed" and silence_ms > 0 and given.started_ms <= silence_ms


def act(d: Deciding, command: Command) -> None:
    """Do what the row of the present state says about ``command``."""
    if d.phase == d.base and command.intent not in _BESIDE_THE_STEP and _goes_to_stop(d):
        return
    if withdrawn.holds_work(d, command):
        return
    row = table.row_of(d.phase)
    does = row.acts.get(command.intent, row.below)
    if does is None:
        raise LookupError(f'"{command.intent}" cannot be said in the state "{row.name}".')
    does(d, command)


_BESIDE_THE_STEP = states.work_acts().keys() - {"next", "skip", "skip_step", "no_photo", "next_shim"}
"""Intents that do nothing of the present step, and leave nothing of it out."""


def _goes_to_stop(d: Deciding) -> bool:
    """Go to where the job stops, in place of what would be done of a step behind it; return whether it does.

    Work behind which the job stops may be granted when the job is behind it already: nothing is done there any more
    before somebody gave a reason.
    """
    stop = next(stops_before(d, d.at), None) if isinstance(d.place, StepPlace) else None
    if stop is None:
        return False
    d.put(WentTo(place=stop.key, since=d.place.key))
    moving.arrive(d, d.job.index[stop.key])
    return True


def _nothing(_d: Deciding, _given: Any, _asked: str) -> None:
    """Bring nothing more about: it was not understood, is only something to be known, or waits to be taken up."""


_INPUTS: Mapping[type[Fact], Callable[[Deciding, Any, str], None]] = {
    Opened: lambda d, given, _: opening.begin_job(d, given),
    Resumed: lambda d, given, _: opening.take_job_up(d, given),
    Understood: _understood,
    UnderstoodOf: _understood,
    UnderstoodAlike: _understood,
    NotUnderstood: _nothing,
    UnsureOf: lambda d, given, _: asking_back.ask_back(d, given),
    TimeCame: lambda d, *_: customer.take_answers_up(d),
    CustomerAnswered: _nothing,
    CustomerAnsweredBefore: _nothing,
    TimesKnown: _nothing,
    BoxKnown: _nothing,
    RevisionGone: lambda d, given, _: withdrawn.learn_of_it(d, given),
    PhotoCame: lambda d, given, _: photos.take_photo(d, given),
    Scanned: lambda d, given, _: scanning.take_scan(d, given),
    ClockSet: lambda d, given, _: time.doubt_the_clock(d, given),
}
