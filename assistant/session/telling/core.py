"""What is said about an answer: made from the state before, its facts, and the state behind them, anew on any day."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from assistant.events import Adjust, DropPhoto, Effect, Hush, Say, TakePhoto, Tone, ToneKind
from assistant.facts import Fact
from assistant.facts.detours import WentTo
from assistant.facts.going import CarriedOn, Moved, Wordiness
from assistant.facts.inputs import ClockSet, Resumed, TimeCame, Understood
from assistant.facts.people import HandedOver
from assistant.facts.photos import PhotoCame
from assistant.facts.scan import Scanned
from assistant.facts.taking_back import TakenBack
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.session.evolving.table import evolve
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.state import State

_F = TypeVar("_F", bound=Fact)
_BY_CLASS: dict[type[Fact], Callable[[Telling, Any], None]] = {}


PROMPTS = 3
"""So often a command is prompted for until whoever works knows it."""
_TEACHES: Mapping[Sentence, tuple[str, ...]] = {
    Sentence.SAY_CONFIRMED: ("confirmed",),
    Sentence.SAY_START: ("start_timer",),
    Sentence.NEXT_GOES_ON: ("next",),
    Sentence.HINT_NEXT: ("next",),
    Sentence.HINT_DONE: ("next",),
    Sentence.HINT_MORE: ("more",),
    Sentence.ANSWER_YES_NO: ("yes", "no"),
    Sentence.ANSWER_COUNT: ("count",),
    Sentence.ANSWER_FIT: ("count",),
    Sentence.ANSWER_READING: ("reading", "reading_below"),
    Sentence.ANSWER_BELOW: ("reading_below",),
    Sentence.ANSWER_CELL: ("bare_reading", "reading"),
    Sentence.ANSWER_FILLED: ("filled",),
}
"""The commands that each prompt tells of."""


class Telling(Here):
    """An answer being told. As a :class:`Here` it stands behind all facts of the answer.

    ``before`` is the job before the fact that is told, ``after`` right behind it; ``facts`` are all of the answer.
    ``language`` gives every sentence, ``clock_min`` is how far the clock on the wall is ahead of UTC [min].
    """

    def __init__(
        self,
        job: Job,
        before: State,
        facts: Sequence[Fact],
        now_ms: int,
        language: Language,
        last_said: str,
        clock_min: int = 0,
    ) -> None:
        state = before
        self._states = [before]
        for fact in facts:
            state = evolve(state, fact)
            self._states.append(state)
        super().__init__(job, state, now_ms)
        self.facts = tuple(facts)
        self.language = language
        self.last_said = last_said
        self.clock_min = clock_min
        self.before = Here(job, before, now_ms)
        self.after = self.before
        self.words: list[str] = []
        self.others: list[Effect] = []
        self._behind: list[Callable[[Telling], None]] = []
        self.keeps_last = False
        """Whether "repeat" still means what was said before this answer."""

    def say(self, *sentences: str) -> None:
        """Add sentences to what will be said; empty ones are none."""
        self.words += [sentence for sentence in sentences if sentence]

    def fixed(self, *sentences: Sentence) -> None:
        """Say sentences that never change."""
        self.say(*(self.text(one) for one in sentences))

    def text(self, sentence: Sentence) -> str:
        """Return a sentence that never changes."""
        return self.language.talk.text(sentence)

    def prompt(self, sentence: Sentence) -> str:
        """Return a sentence that says what can be said; "" for whoever said it often enough, or wants few words."""
        said = max(self.before.state.practised.get(intent, 0) for intent in _TEACHES[sentence])
        how = self.before.state.wordiness
        known = how is Wordiness.SHORT or (how is Wordiness.USUAL and said >= PROMPTS)
        return "" if known else self.text(sentence)

    @property
    def in_full(self) -> bool:
        """Whether every word was asked for."""
        return self.state.wordiness is Wordiness.FULL

    @property
    def is_behind_a_break(self) -> bool:
        """Whether somebody may have lost the place before this answer, and needs all that tells where it is."""
        given = self.facts[0]
        asked = isinstance(given, Understood) and given.intent in ("repeat_step", "repeat_stage")
        breaks = (CarriedOn, HandedOver, Moved, Resumed, TakenBack, WentTo)
        return asked or any(isinstance(fact, breaks) for fact in self.facts)

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone before the words."""
        self.others.append(Tone(kind))

    def do(self, effect: Adjust | Hush | TakePhoto | DropPhoto) -> None:
        """Turn a knob, hush, or do something about a photo."""
        self.others.append(effect)

    def behind(self, tell: Callable[[Telling], None]) -> None:
        """Let ``tell`` say its words behind those of all facts."""
        self._behind.append(tell)

    def has(self, cls: type[Fact]) -> bool:
        """Return whether a fact of the class ``cls`` is among those of the answer."""
        return any(isinstance(fact, cls) for fact in self.facts)

    def tell(self) -> list[Effect]:
        """Tell all facts in order; return tones, knobs, and what is said, if anything is."""
        for number, fact in enumerate(self.facts):
            self.before = Here(self.job, self._states[number], self.now_ms)
            self.after = Here(self.job, self._states[number + 1], self.now_ms)
            if (function := _BY_CLASS.get(type(fact))) is not None:
                function(self, fact)
        for tell in self._behind:
            tell(self)
        effects = list(self.others)
        if self.words:
            text = self.language.talk.breaths(" ".join(self.words))
            if not self.keeps_last:
                self.last_said = text
            by_itself = isinstance(self.facts[0], TimeCame | ClockSet | PhotoCame | Scanned)
            effects.append(Say(text, cut=not by_itself))
        return effects


def tells(cls: type[_F]) -> Callable[[Callable[[Telling, _F], None]], Callable[[Telling, _F], None]]:
    """Let the function below tell facts of the class ``cls``.

    Raises:
        ValueError: another one does.
    """

    def put(function: Callable[[Telling, _F], None]) -> Callable[[Telling, _F], None]:
        if cls in _BY_CLASS:
            raise ValueError(f"Two functions tell {cls.__name__}.")
        _BY_CLASS[cls] = function
        return function

    return put
