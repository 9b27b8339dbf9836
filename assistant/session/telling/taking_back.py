"""What is said of taking back: what would be undone, whose confirmation it was, and what words cannot undo.

``calls`` is the door for whatever can be taken back: it says how a fact of a class is called, inside a sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from assistant.facts import Fact, asking, extra, going, people, second, steps
from assistant.facts.taking_back import AskTakeBack, TakenBack, TimerAsBefore
from assistant.language.sentence import Sentence
from assistant.session.evolving.last import confirmation_of
from assistant.session.places import CardPlace, StepPlace
from assistant.session.state import Confirmation
from assistant.session.telling import preparing
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.timers import timer_name

_F = TypeVar("_F", bound=Fact)
_CALLED: dict[type[Fact], tuple[Callable[[Telling, Any], str], bool]] = {}
_MORE: list[Callable[[Telling, Confirmation], Sequence[str]]] = []


def calls(
    cls: type[_F], *, at_most: bool = False
) -> Callable[[Callable[[Telling, _F], str]], Callable[[Telling, _F], str]]:
    """Let the function below name a fact of the class ``cls`` in the sentence that reads back what is taken back.

    With ``at_most`` it names it only where nothing else that was confirmed with it has a name.

    Raises:
        ValueError: another one does.
    """

    def put(function: Callable[[Telling, _F], str]) -> Callable[[Telling, _F], str]:
        if cls in _CALLED:
            raise ValueError(f"Two functions call {cls.__name__}.")
        _CALLED[cls] = function, at_most
        return function

    return put


def adds(more: Callable[[Telling, Confirmation], Sequence[str]]) -> Callable[[Telling, Confirmation], Sequence[str]]:
    """Let the function below add sentences to what is read back, such as what words cannot undo."""
    _MORE.append(more)
    return more


def step_called(t: Telling, step: str, what: str, *, apart: bool = False) -> str:
    """Return ``what`` with the name of the step with the id ``step`` before it, ``apart`` where it has a number."""
    place = t.job.places[t.job.index[step]] if step in t.job.index else None
    return (
        t.language.taking_back.back_in_step(place.called, what, apart=apart) if isinstance(place, StepPlace) else what
    )


def _words(t: Telling, question: AskTakeBack) -> list[str]:
    one = confirmation_of(t.state, question.heard_ms)
    if one is None:
        return [t.text(Sentence.NOTHING_TO_TAKE_BACK)]
    of = t.language.taking_back
    return [
        of.take_back_this(_name(t, one)),
        "" if one.shift == t.state.shift else of.confirmed_by_another(one.operator),
        *(line for more in _MORE for line in more(t, one)),
        t.text(Sentence.SAY_CONFIRMED),
    ]


def _name(t: Telling, one: Confirmation) -> str:
    named = [(fact, *_CALLED[type(fact)]) for fact in one.facts if type(fact) in _CALLED]
    best = next((entry for entry in named if not entry[2]), named[0] if named else None)
    return (
        best[1](t, best[0])
        if best is not None
        else step_called(t, one.place, t.language.taking_back.step_taken_as_done())
    )


@adds
def _timers(t: Telling, one: Confirmation) -> list[str]:
    """Say of each timer whether it stops, or runs on; one that is all that is taken back is named already."""
    back = [fact for fact in one.back if isinstance(fact, TimerAsBefore)]
    if len(one.facts) == len(back):
        return []
    return [
        t.language.taking_back.timer_once_back(
            timer_name(t, fact.timer), runs=fact.was is not None and not fact.was.stopped
        )
        for fact in back
    ]


@tells(TakenBack)
def _taken_back(t: Telling, fact: TakenBack) -> None:
    """Say it; and what is open again, where the job stays before it."""
    t.fixed(Sentence.TAKEN_BACK)
    place = t.job.places[t.job.index[fact.place]] if fact.place in t.job.index else None
    if isinstance(place, StepPlace) and fact.place != t.state.place:
        t.say(t.language.taking_back.is_open_again(place.called))


# How things of the base code are called


@calls(steps.StepDone, at_most=True)
def _done(t: Telling, fact: steps.StepDone) -> str:
    return step_called(t, fact.step, t.language.taking_back.step_taken_as_done())


@calls(asking.Skipped)
def _skipped(t: Telling, fact: asking.Skipped) -> str:
    bolts = fact.bolts if fact.what is asking.SkippedWhat.BOLTS else ()
    what = t.language.taking_back.was_left_out(bolts)
    place = t.job.places[t.job.index[fact.place]] if fact.place in t.job.index else None
    return what if isinstance(place, CardPlace) else step_called(t, fact.place, what, apart=bool(bolts))


@calls(asking.Deviated, at_most=True)
def _deviated(t: Telling, fact: asking.Deviated) -> str:
    what = t.language.taking_back.was_accepted()
    return what if fact.step is None else step_called(t, fact.step, what)


@calls(going.HazardAcknowledged)
def _hazard(t: Telling, fact: going.HazardAcknowledged) -> str:
    return step_called(t, fact.place, t.language.taking_back.was_acknowledged(fact.word.value))


@calls(going.Prepared)
def _prepared(t: Telling, fact: going.Prepared) -> str:
    place = t.job.places[t.job.index[fact.place]] if fact.place in t.job.index else None
    return t.language.taking_back.card_confirmed(place.what if isinstance(place, CardPlace) else "")


@calls(going.ItemMissing)
def _missing(t: Telling, fact: going.ItemMissing) -> str:
    return t.language.taking_back.thing_told(_thing(t, fact.place, fact.number), missing=True)


@calls(going.ItemFound)
def _found(t: Telling, fact: going.ItemFound) -> str:
    return t.language.taking_back.thing_told(_thing(t, fact.place, fact.number), missing=False)


@calls(going.ThingAsked, at_most=True)
def _thing_before(t: Telling, fact: going.ThingAsked) -> str:
    """Name the thing before the one that was asked for next: that one was said to be here."""
    return t.language.taking_back.thing_told(_thing(t, fact.place, fact.number - 1), missing=False)


def _thing(t: Telling, card: str, number: int) -> str:
    return preparing.card_things(t.job, card, t.language)[number - 1]


@calls(steps.TimerStarted, at_most=True)
def _started(t: Telling, fact: steps.TimerStarted) -> str:
    return t.language.taking_back.was_started(timer_name(t, fact.timer))


@calls(people.HelperCame)
def _came(t: Telling, fact: people.HelperCame) -> str:
    return t.language.taking_back.helper_told(fact.name, came=True)


@calls(people.HelperLeft)
def _left(t: Telling, fact: people.HelperLeft) -> str:
    return t.language.taking_back.helper_told(fact.name, came=False)


@calls(extra.ExtraGranted)
def _granted(t: Telling, _: extra.ExtraGranted) -> str:
    return t.language.taking_back.extra_was("granted")


@calls(extra.ExtraDeclined)
def _declined(t: Telling, _: extra.ExtraDeclined) -> str:
    return t.language.taking_back.extra_was("declined")


@calls(extra.ExtraDone)
def _extra_done(t: Telling, _: extra.ExtraDone) -> str:
    return t.language.taking_back.extra_was("done")


@calls(second.GateReleased)
def _gate(t: Telling, fact: second.GateReleased) -> str:
    return step_called(t, fact.step, t.language.taking_back.gate_was_released())


@calls(second.Witnessed)
def _witness(t: Telling, fact: second.Witnessed) -> str:
    return step_called(t, fact.step, t.language.taking_back.was_seen())


@calls(extra.StopPassed)
def _past_stop(t: Telling, _: extra.StopPassed) -> str:
    return t.language.taking_back.went_past_stop()


add_read_back(AskTakeBack, ReadBack(_words))
