"""Gates, and the second person who releases one or witnesses a step. Names are stated; no voice is known."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import AskSkipStep, CancelledWhy, Question, Skipped, SkippedWhat
from assistant.facts.going import Moved, RefusedWhy
from assistant.facts.second import (
    AskRelease,
    AskWitness,
    GateReleased,
    NotWitnessed,
    SecondAsked,
    SecondNamed,
    SecondWhat,
    Witnessed,
)
from assistant.facts.steps import StepAnswer
from assistant.procedure.model import Step
from assistant.session import gates, photos
from assistant.session.deciding import asking, moving
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant, grant_of
from assistant.session.places import StepPlace

# The way out of a gate


def ask_release(d: Deciding, _: Command) -> None:
    """Ask who releases the present gate, or else the first one that is not passed."""
    if gates.holds(d, d.step):
        place: StepPlace | None = d.place if isinstance(d.place, StepPlace) else None
    else:
        place = next(iter(gates.gates_before(d)), None)
    if place is None:
        d.refuse(RefusedWhy.NO_GATE)
    else:
        d.put(SecondAsked(what=SecondWhat.RELEASE, step=place.key))


def let_through(d: Deciding, step: str) -> Question | None:
    """Return what releasing the gate ``step`` lets through: its wrong answer, else that it is left out.

    None where it stays as it was answered: its witness is missing, or what it led to is done and it is not right still.
    """
    held = d.state.gates_held.get(step)
    if held is None and step in d.state.done:
        return None
    here = d.step is not None and d.step.id == step and d.unread is None
    return held if held is not None and here and grant_of(held).stands(d, held) else AskSkipStep(step=step)


def _release(d: Deciding, question: AskRelease, reason: str) -> None:
    """Let through what the gate held back, by the word of a second person."""
    second, through = d.state.second, let_through(d, question.step)
    name = second.name if second is not None else ""
    d.put(
        GateReleased(
            step=question.step, question=through, name=name, operator=d.state.operator, reason=reason
        )
    )  # fmt: skip
    here = d.step is not None and d.step.id == question.step
    if through is None:
        if here:
            moving.advance(d)
    elif here:
        grant_of(through).do(d, through, reason)
    else:
        place = d.job.places[d.job.index[question.step]]
        unread = sum((place.key, number) not in d.state.acknowledged for number in range(len(place.hazards)))
        d.put(Skipped(what=SkippedWhat.STEP, place=place.key, reason=reason, hazards_not_read=unread))


# A witness


def asks_witness(d: Deciding, step: Step) -> bool:
    """Ask who witnesses ``step`` if somebody should, and has not seen it as it is now; return whether that is asked."""
    anew = any(isinstance(fact, StepAnswer) and fact.step == step.id for fact in d.facts)
    if not step.witness or (step.id in d.state.witnessed and not anew):
        return False
    d.put(SecondAsked(what=SecondWhat.WITNESS, step=step.id))
    return True


def ask_witness(d: Deciding, _: Command) -> None:
    """Ask who witnesses the present step, or else the first one that was done without."""
    lacking = gates.without_witness(d)
    place = next((one for one in lacking if one.key == d.place.key), lacking[0] if lacking else None)
    if place is None:
        d.refuse(RefusedWhy.NO_WITNESS_WANTED)
    else:
        d.put(SecondAsked(what=SecondWhat.WITNESS, step=place.key))


def _witness(d: Deciding, question: AskWitness, _reason: str) -> None:
    """Put down who has seen it, and go on from there."""
    name = d.state.second.name if d.state.second is not None else ""
    d.put(Witnessed(step=question.step, name=name, operator=d.state.operator))
    if d.step is not None and d.step.id == question.step and not photos.lacks(d, d.step):
        moving.advance(d)


# Who it is


def take_number(d: Deciding, command: Command) -> None:
    """Take the number of somebody who is known."""
    at, known = int(command.number or 0), d.may_be_second
    if 1 <= at <= len(known):
        _named(d, known[at - 1])
    else:
        d.refuse(RefusedWhy.NO_SUCH_OPERATOR)


def take_name(d: Deciding, command: Command) -> None:
    """Take a name that was typed; who works on the job is no second person."""
    name = " ".join(command.text.split())
    if name.casefold() == d.state.operator.casefold():
        d.refuse(RefusedWhy.SAME_PERSON)
        return
    _named(d, next((known for known in d.may_be_second if known.casefold() == name.casefold()), name))


def _named(d: Deciding, name: str) -> None:
    second = d.state.second
    if second is None:
        raise RuntimeError("Nobody is asked for.")
    d.put(SecondNamed(what=second.what, step=second.step, name=name))
    if second.what is SecondWhat.RELEASE:
        asking.demand_reason(d, AskRelease(step=second.step))
    else:
        asking.ask(d, AskWitness(step=second.step))


def without(d: Deciding, _: Command) -> None:
    """Go on without a witness; a gate is not passed so."""
    second = d.state.second
    if second is None or not gates.may_go_on_without(d):
        d.refuse(RefusedWhy.WHO_FIRST)
        return
    d.put(NotWitnessed(step=second.step))
    if d.place.key == second.step:
        d.put(Moved(place=d.job.places[d.place_after(d.at)].key))
        moving.advance(d)


def nobody(d: Deciding, _: Command) -> None:
    """Drop it that somebody is asked for, and stay here."""
    second = d.state.second
    if second is not None and second.what is SecondWhat.WITNESS:
        d.put(NotWitnessed(step=second.step))
    else:
        asking.drop(d, CancelledWhy.SAID)


add_grant(AskRelease, _release, passes=False)
add_grant(AskWitness, _witness, passes=False)
