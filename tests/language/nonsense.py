"""A language that nobody speaks: it shows what depends on words and should not.

Every sentence is the name of its function with its arguments, so it has another number of words and letters than the
English one, and nothing of English is in it. Phrases and number words are the English ones with every letter moved on
by thirteen: as many, as long, and none of them an English word.
"""

from __future__ import annotations

import codecs
import inspect
from collections.abc import Callable
from decimal import Decimal
from functools import cache
from typing import Any, get_type_hints

from assistant.events import SlotKind
from assistant.language.en import ENGLISH
from assistant.language.port import Language
from assistant.language.topics.bay import Equipment, Notes
from assistant.language.topics.customer import Customer
from assistant.language.topics.detours import Detours
from assistant.language.topics.extra import ExtraWork
from assistant.language.topics.idle import Idle
from assistant.language.topics.job import Answers, Handover, Lists, Steps, Talk, Timers
from assistant.language.topics.judging import Judging
from assistant.language.topics.photos import Photos
from assistant.language.topics.planning import Planning
from assistant.language.topics.questions import Questions
from assistant.language.topics.scan import Scans
from assistant.language.topics.second import Seconds
from assistant.language.topics.shims import Shims
from assistant.language.topics.tables import Called, Tables
from assistant.language.topics.taking_back import TakingBack
from assistant.language.topics.trade import Bolts, Tools, Troubles, Units
from assistant.language.values import NumberPhrases, Phrase, StepAt


def moved(words: str) -> str:
    """Move every letter on by thirteen; twice is back."""
    return codecs.encode(words, "rot13")


class Topic:
    """Any topic of the port: what is asked for is looked up there, and answered in nonsense."""

    def __init__(self, topic: type) -> None:
        self._topic = topic
        self.asked: set[str] = set()
        """The functions that were used."""

    def __getattr__(self, name: str) -> Callable[..., Any]:
        wanted = self._topic.__dict__.get(name)
        if not inspect.isfunction(wanted):
            raise AttributeError(f"the topic {self._topic.__name__} has no {name}")
        returns, signature = _shape(wanted)

        def answer(*given: Any, **named: Any) -> Any:
            signature.bind(self, *given, **named)
            self.asked.add(name)
            words = " ".join(["zork", name, *map(str, given), *(f"{key} {value}" for key, value in named.items())])
            return words if returns is str else [words] if returns == list[str] else _unknown(self._topic, name)

        return answer


@cache
def _shape(function: Callable[..., Any]) -> tuple[Any, inspect.Signature]:
    """Return what ``function`` returns, and what it takes."""
    return get_type_hints(function)["return"], inspect.signature(function)


def _unknown(topic: type, name: str) -> Any:
    raise AttributeError(f"nonsense has no answer of its own for {topic.__name__}.{name}")


class Phrases:
    """Phrases in equal number, moved."""

    def phrases(self, intent: str) -> tuple[str, ...]:
        return tuple(map(moved, ENGLISH.phrases.phrases(intent)))

    def name(self, text: str) -> str:
        return moved(ENGLISH.phrases.name(text))

    def meaning(self, intent: str) -> str:
        return f"zork meaning {intent}"


class Numbers:
    """Number words, moved; what is said of numbers is not looked at."""

    def number_words(self, value: Decimal | int) -> str:
        return moved(ENGLISH.numbers.number_words(value))

    def digit_words(self, value: Decimal | int) -> str:
        return moved(ENGLISH.numbers.digit_words(value))

    def sounds_alike(self, value: Decimal | int) -> bool:
        return not ENGLISH.numbers.sounds_alike(value)

    def number_ways(self, value: Decimal) -> tuple[str, ...]:
        return tuple(map(moved, ENGLISH.numbers.number_ways(value)))

    def may_have_been(self, text: str) -> tuple[str, ...]:
        return tuple(map(moved, ENGLISH.numbers.may_have_been(moved(text))))

    def heard_words(self, value: Decimal | int) -> str:
        return moved(ENGLISH.numbers.heard_words(value))

    def number_phrases(self, kind: SlotKind) -> NumberPhrases:
        def all_of(phrases: tuple[Phrase, ...]) -> tuple[Phrase, ...]:
            return tuple(tuple(map(moved, phrase)) for phrase in phrases)

        said = ENGLISH.numbers.number_phrases(kind)
        return NumberPhrases(all_of(said.wholes), tuple(map(moved, said.points)), all_of(said.decimals))

    def number_vocabulary(self, kind: SlotKind) -> tuple[str, ...]:
        return tuple(sorted(map(moved, ENGLISH.numbers.number_vocabulary(kind))))

    def parse_number_words(self, text: str) -> Decimal | None:
        return ENGLISH.numbers.parse_number_words(moved(text))


class NonsenseUnits(Topic):
    """As any topic; units behind a reading are words of the language."""

    def unit_endings(self, unit: str | None) -> tuple[str, ...]:
        return tuple(map(moved, ENGLISH.units.unit_endings(unit)))


class NonsenseSteps(Topic):
    """As any topic; a hazard is read in its parts, as the port says."""

    def hazard(self, word: str, hazard: str, consequence: str, avoid: str) -> str:
        parts = [f"zork instruction {part}" for part in (hazard, consequence, avoid) if part]
        return " ".join([f"zork {word}", *parts])


class NonsenseTables(Topic):
    """As any topic; the names that are said are the English ones, moved."""

    def cell_names(self, cell: Called) -> list[str]:
        return list(map(moved, ENGLISH.tables.cell_names(cell)))


class NonsenseShims(Topic):
    """As any topic; the word by which shims are asked for is the English one, moved."""

    def shims_word(self, *, many: bool) -> str:
        return moved(ENGLISH.shims.shims_word(many=many))

    def pack_word(self) -> str:
        return moved(ENGLISH.shims.pack_word())


class NonsenseDetours(Topic):
    """As any topic; the names that are said are the English ones, moved."""

    def step_names(self, step: StepAt) -> list[str]:
        return list(map(moved, ENGLISH.detours.step_names(step)))

    def chapter_names(self, name: str) -> list[str]:
        return list(map(moved, ENGLISH.detours.chapter_names(name)))

    def kind_names(self, kind: str) -> list[str]:
        return list(map(moved, ENGLISH.detours.kind_names(kind)))


class NonsenseTalk(Topic):
    """As any topic, but a text is one breath and one sentence."""

    def breaths(self, text: str) -> str:
        return text

    def sentences(self, text: str) -> list[str]:
        return [text]


def nonsense() -> Language:
    """Return the language, fresh: its topics remember what was used."""
    return Language(
        code="zz",
        phrases=Phrases(),
        numbers=Numbers(),
        units=NonsenseUnits(Units),
        steps=NonsenseSteps(Steps),
        answers=Topic(Answers),
        tables=NonsenseTables(Tables),
        judging=Topic(Judging),
        shims=NonsenseShims(Shims),
        bolts=Topic(Bolts),
        tools=Topic(Tools),
        lists=Topic(Lists),
        troubles=Topic(Troubles),
        handover=Topic(Handover),
        seconds=Topic(Seconds),
        timers=Topic(Timers),
        questions=Topic(Questions),
        photos=Topic(Photos),
        planning=Topic(Planning),
        extra=Topic(ExtraWork),
        customer=Topic(Customer),
        detours=NonsenseDetours(Detours),
        talk=NonsenseTalk(Talk),
        taking_back=Topic(TakingBack),
        equipment=Topic(Equipment),
        notes=Topic(Notes),
        idle=Topic(Idle),
        mind=ENGLISH.mind,
        scans=Topic(Scans),
    )
