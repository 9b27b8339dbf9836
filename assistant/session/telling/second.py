"""What is said of gates, and of the second person who releases one or witnesses a step."""

from __future__ import annotations

from assistant.facts.asking import Question
from assistant.facts.second import (
    AskRelease,
    AskWitness,
    GateFirst,
    GateHeld,
    GateReleased,
    NotWitnessed,
    SecondAsked,
    Witnessed,
)
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.language.values import StepAt
from assistant.procedure.model import Step
from assistant.session import gates
from assistant.session.here import Here
from assistant.session.places import StepPlace
from assistant.session.state import Second
from assistant.session.telling.asked import ReadBack, add_read_back, read_back_of
from assistant.session.telling.core import Telling, tells


def gate_step_words(t: Telling, step: Step) -> list[str]:
    """Return that a step is a gate, or still lacks its witness."""
    first = next((one for one in t.job.places if isinstance(one, StepPlace) and one.step.gate), None)
    told = first is not None and (first.key == step.id or t.in_full or t.is_behind_a_break)
    lines = [t.text(Sentence.GATE)] if told and gates.holds(t, step) else []
    return [*lines, t.text(Sentence.NOT_WITNESSED)] if gates.lacks_witness(t, step) else lines


def gate_words(t: Telling) -> list[str]:
    """Return which gate is not passed, the present one or the first, and what leads on."""
    places = gates.gates_before(t)
    place = next((one for one in places if one.key == t.place.key), places[0] if places else None)
    if place is None:
        return []
    lacks = [t.text(Sentence.WITNESS_HOW)] if gates.lacks_witness(t, place.step) else []
    return [t.language.seconds.gate_open(place.called), *lacks, t.text(Sentence.RELEASE_HOW)]


def open_names(t: Telling) -> list[str]:
    """Name the steps that were done and not witnessed."""
    return [t.language.seconds.open_witness(place.called) for place in gates.without_witness(t)]


def _called(here: Here, step: str) -> StepAt:
    place = here.job.places[here.job.index[step]]
    return place.called if isinstance(place, StepPlace) else StepAt(0)


def second_words(here: Here, language: Language) -> list[str]:
    """Return the question who releases a gate, or witnesses a step; nothing when nobody is asked for."""
    second = here.state.second
    if second is None or second.name:
        return []
    may_go_on = gates.may_go_on_without(here)
    return language.seconds.who_is_second(
        second.what.value, _called(here, second.step), here.may_be_second, may_go_on=may_go_on
    )


@tells(SecondAsked)
def _asked(t: Telling, _: SecondAsked) -> None:
    t.say(*second_words(t, t.language))


@tells(GateHeld)
def _held(t: Telling, fact: GateHeld) -> None:
    t.say(*read_back_of(fact.question).words(t, fact.question))
    t.fixed(Sentence.GATE, Sentence.RELEASE_HOW)


@tells(GateFirst)
def _first(t: Telling, fact: GateFirst) -> None:
    t.say(t.language.seconds.gate_first(_called(t, fact.step)))


@tells(GateReleased)
def _released(t: Telling, fact: GateReleased) -> None:
    t.say(t.language.seconds.released(fact.name))


@tells(Witnessed)
def _witnessed(t: Telling, fact: Witnessed) -> None:
    t.say(t.language.seconds.witnessed(fact.name))


@tells(NotWitnessed)
def _not_witnessed(t: Telling, _: NotWitnessed) -> None:
    t.fixed(Sentence.NOT_WITNESSED)


def own_word(t: Telling) -> str:
    """Return who alone says the word that is waited for, and which it is."""
    second: Second | None = t.state.second
    return "" if second is None else t.language.seconds.only_they_say(second.what.value, second.name)


def waits_for_second(question: Question) -> bool:
    """Return whether only a second person says the word that carries a question out."""
    return question.WORD != Question.WORD


def _name(t: Telling) -> str:
    return t.state.second.name if t.state.second is not None else ""


add_read_back(
    AskRelease,
    ReadBack(reasoned=lambda t, q, reason: t.language.seconds.release_ask(_name(t), _called(t, q.step), reason)),
)
add_read_back(AskWitness, ReadBack(lambda t, q: t.language.seconds.witness_ask(_name(t), _called(t, q.step))))
