"""Facts in words, for the list of all entries and for whatever has no table of its own: one function for each class."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from assistant.facts import Fact, Unreadable, dump
from assistant.facts.asking import Question, code_of
from assistant.language.chosen import LANGUAGE
from assistant.language.port import Language
from assistant.procedure.model import Procedure
from assistant.procedure.only_if import turnings
from assistant.report.record.cards import thing_words
from assistant.session.intents import BY_NAME, WORDS
from assistant.session.places import branch_key

F = TypeVar("F", bound=Fact)
_T = TypeVar("_T")
AGAIN = {True: " (again)", False: ""}
"""What is printed behind something that was done before."""


class Names:
    """What the ids in the facts of a job are called, by its own copy of the procedure; an id where that has no name.

    ``language`` has the words that were said.
    """

    def __init__(self, procedure: Procedure | None, language: Language = LANGUAGE) -> None:
        self.procedure = procedure
        self.language = language
        self._timers = {one.id: one.name for one in procedure.timers} if procedure else {}
        self._steps = {step.id: step for step in procedure.every_step} if procedure else {}
        self._works = {
            branch_key(step.id, branch): branch.title or branch.steps[0].text
            for step, branch in (turnings(procedure) if procedure else ())
        }
        self._why = {
            branch_key(step.id, branch): (branch.why, branch.minutes)
            for step, branch in (turnings(procedure) if procedure else ())
        }
        self._steps_of = {
            branch_key(step.id, branch): tuple(one.id for one in branch.steps)
            for step, branch in (turnings(procedure) if procedure else ())
        }
        self._cards = thing_words(procedure, language) if procedure else {}

        self._made: dict[Any, Any] = {}

    def once(self, make: Callable[[Names], _T]) -> _T:
        """Return what ``make`` makes of the names; it is made once, however many facts ask for it."""
        if make not in self._made:
            self._made[make] = make(self)
        made: _T = self._made[make]
        return made

    def timer(self, name: str) -> str:
        """Return what a timer is called."""
        return self._timers.get(name, name)

    def work(self, key: str) -> str:
        """Return what a branch, or extra work, is called, by its key."""
        return self._works.get(key, key.replace(":", " "))

    def why(self, key: str) -> tuple[str, Decimal | None]:
        """Return why the branch with that key is offered, and how long it takes [min], as the procedure says it."""
        return self._why.get(key, ("", None))

    def steps_of(self, key: str) -> tuple[str, ...]:
        """Return the ids of the steps of a branch by its key; none where it has none, or is not known."""
        return self._steps_of.get(key, ())

    def things(self, card: str) -> tuple[str, ...]:
        """Return the things of a card of the preparation."""
        return self._cards.get(card, ())

    def thing(self, card: str, number: int) -> str:
        """Return what a thing of a card is called, by its number from one."""
        things = self.things(card)
        return things[number - 1] if 0 < number <= len(things) else f"thing {number} of {card}"

    def hazard(self, place: str, number: int) -> str:
        """Return the hazard of a place by its number from one; "" when it is not known."""
        if self.procedure is None:
            return ""
        if place in self._steps:
            hazards = self._steps[place].hazards
        else:
            at = int(place.rpartition(":")[2]) if place.startswith("safety:") else 0
            hazards, number = self.procedure.safety[at - 1 : at], 1
        return hazards[number - 1].hazard if 0 < number <= len(hazards) else ""

    def said(self, intent: str) -> str:
        """Return how an intent is said."""
        if intent not in BY_NAME:
            return "" if intent == WORDS else intent
        return self.language.phrases.phrases(intent)[0]


Printer = Callable[[Any, Names], str]
_BY_CLASS: dict[type[Fact], Printer] = {}


def prints(cls: type[F]) -> Callable[[Callable[[F, Names], str]], Callable[[F, Names], str]]:
    """Let the function below print facts of the class ``cls``.

    Raises:
        ValueError: another one does.
    """

    def put(function: Callable[[F, Names], str]) -> Callable[[F, Names], str]:
        if cls in _BY_CLASS:
            raise ValueError(f"Two functions print {cls.__name__}.")
        _BY_CLASS[cls] = function
        return function

    return put


def printers() -> Mapping[type[Fact], Printer]:
    """Return every function that prints, by the class of its facts."""
    return _BY_CLASS


def describe(fact: Fact, names: Names) -> str:
    """Return a fact in words; one that nothing prints is printed with all its fields."""
    printer = _BY_CLASS.get(type(fact))
    if printer is not None:
        return printer(fact, names)
    if isinstance(fact, Unreadable):
        return f"{fact.kind}: {fact.why}"
    kind, _, fields = dump(fact)
    told = "; ".join(f"{key} {value}" for key, value in fields.items() if value not in (None, "", [], (), {}))
    return f"{kind.replace('_', ' ')}: {told}".removesuffix(": ")


def tag_of(question: Question) -> str:
    """Return what a question asks, as a word for a person."""
    return code_of(question).replace("_", " ")


Q = TypeVar("Q", bound=Question)
_QUESTIONS: dict[type[Question], Printer] = {}


def prints_asked(cls: type[Q]) -> Callable[[Callable[[Q, Names], str]], Callable[[Q, Names], str]]:
    """Let the function below print what questions of the class ``cls`` ask."""

    def put(function: Callable[[Q, Names], str]) -> Callable[[Q, Names], str]:
        _QUESTIONS[cls] = function
        return function

    return put


def asked_words(question: Question, names: Names) -> str:
    """Return what was asked, with all that it was about; of one that nothing prints, what it asks as a word."""
    printer = _QUESTIONS.get(type(question))
    return tag_of(question) if printer is None else printer(question, names)
