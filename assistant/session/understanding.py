"""What may be said in each state, by the rows of the table, and what one utterance means there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import cache

from assistant.events import Clarity, Command, Grammar, Heard, Slot, SlotKind, Source, Thresholds, Weight
from assistant.facts.inputs import UnclearWhy
from assistant.language.port import Language
from assistant.procedure.kinds import KINDS
from assistant.procedure.limits_said import FINE_UNITS
from assistant.session import table
from assistant.session.alike import alike_values
from assistant.session.asked_back import (
    ASKED_CRITICAL,
    YES_OR_NO,
    may_be_asked,
    open_question,
    waited_for,
)
from assistant.session.deciding import correcting
from assistant.session.here import Here
from assistant.session.intents import BY_NAME, CORRECT, INTENTS, WORDS
from assistant.session.named import spoken_names
from assistant.session.part import SESSION


def accepted(here: Here) -> tuple[str, ...]:
    """Return the names of the intents that may be said now.

    While something waits for "confirmed", all of the state below may be said too: all but a question cancels. Words
    are corrected only right behind them: a phrase that is rarely of use would only be heard wrongly.
    """
    phase = here.phase
    below = None if table.row_of(phase).below is None else here.base
    return _accepted(phase, below, open_question(here) is not None, correcting.may_correct(here))


@cache  # by states of the table and two answers
def _accepted(phase: str, below: str | None, yes_or_no: bool, may_correct: bool) -> tuple[str, ...]:
    names = dict.fromkeys(table.row_of(phase).acts)
    names |= {} if below is None else dict.fromkeys(table.row_of(below).acts)
    names |= dict.fromkeys(YES_OR_NO) if yes_or_no else {}
    return tuple(name for name in names if may_correct or name != CORRECT)


def grammar(here: Here, language: Language) -> Grammar:
    """Return what may be said now."""
    names = tuple(name for name in accepted(here) if name != WORDS)
    named = tuple(
        (name, tuple(spoken_names(name, here, language))) for name in names if BY_NAME[name].slot is SlotKind.NAME
    )
    free_speech = table.row_of(here.phase).free_speech
    waits_for = () if free_speech else tuple(name for name in waited_for(here) if name in names)
    return _grammar(names, named, language, free_speech, _unit(here), _likely(here), waits_for, here.state.operator)


def _likely(here: Here) -> tuple[Decimal, ...]:
    """Return the numbers that can be said at the present step."""
    part = None if here.step is None else KINDS.find(here.step, SESSION)
    return () if part is None else tuple(part.numbers(here, here.step))


LIKELY_IN = ("reading", "count", "filled")
"""The intents whose numbers are those that can be at a step; others name bolts, people and minutes."""


def _unit(here: Here) -> str:
    """Return the unit in which a number is read off now; "" where none is."""
    part = None if here.step is None else KINDS.find(here.step, SESSION)
    if part is None:
        return ""
    return str((part.ask(here, here.step) or {}).get("unit", "") or part.read_in(here, here.step))


@cache
def _slot(phrase: str, kind: SlotKind, unit: str | None, language: Language, likely: tuple[Decimal, ...] = ()) -> Slot:
    """Return a phrase with a number in it: one with decimals may be said with its unit, in inches to thousandths.

    None stands for any unit.
    """
    numbers = tuple(way for value in likely for way in language.numbers.number_ways(value))
    if kind is not SlotKind.DECIMAL or unit == "":
        return Slot.of(phrase, kind, likely=numbers)
    fine = unit is None or unit in FINE_UNITS
    return Slot.of(phrase, SlotKind.FINE if fine else kind, language.units.unit_endings(unit), numbers)


@cache
def _grammar(
    names: tuple[str, ...],
    named: tuple[tuple[str, tuple[str, ...]], ...],
    language: Language,
    dictation: bool,
    unit: str,
    likely: tuple[Decimal, ...],
    waits_for: tuple[str, ...],
    by: str,
) -> Grammar:
    said = [(BY_NAME[name], phrase) for name in names for phrase in language.phrases.phrases(name)]
    with_names = dict(named)
    phrases = tuple(
        whole
        for intent, phrase in said
        if intent.slot in (None, SlotKind.NAME)
        for whole in ([phrase] if intent.slot is None else _with_names(phrase, with_names[intent.name]))
    )
    return Grammar(
        phrases,
        tuple(
            _slot(phrase, intent.slot, unit, language, likely if intent.name in LIKELY_IN else ())
            for intent, phrase in said
            if intent.slot is not None and intent.slot is not SlotKind.NAME
        ),
        dictation=dictation,
        expected=tuple(phrase for intent, phrase in said if intent.slot is None and intent.name in waits_for),
        values=frozenset(one for one in phrases if language.numbers.parse_number_words(one) is not None),
        by=by,
        alike=alike_phrases(names, language),
    )


def alike_phrases(names: Iterable[str], language: Language) -> tuple[tuple[str, ...], ...]:
    """Return the phrases of each of the intents ``names`` that has several, where none holds a number or a name."""
    each = (language.phrases.phrases(name) for name in names if BY_NAME[name].slot is None)
    return tuple(tuple(phrases) for phrases in each if len(phrases) > 1)


def _with_names(phrase: str, names: Iterable[str]) -> list[str]:
    slot = Slot.of(phrase, SlotKind.NAME)
    return [slot.with_inside(name) for name in names]


@dataclass(frozen=True, slots=True)
class Unclear:
    """Nothing can be made of an utterance, and why; ``intent`` is what may be asked back."""

    why: UnclearWhy
    intent: str = ""


def understand(heard: Heard, here: Here, limits: Thresholds, language: Language) -> Command | Unclear | None:
    """Return what ``heard`` asks for as the job stands; None for talk that was not meant for us.

    While words are taken down, those that are no command are kept as text. A name can only be typed.
    """
    if heard.clarity is Clarity.SPEECH:
        return None
    text = " ".join(heard.text.lower().split())
    if heard.clarity is Clarity.UNCLEAR or not text:
        return Unclear(UnclearWhy.UNCLEAR)
    command = command_of(text, accepted(here), language, here)
    if command is not None:
        by_hand = heard.source in (Source.KEY, Source.PEDAL, Source.TOUCH)
        if by_hand:
            return command
        if heard.drowned and BY_NAME[command.intent].weight is Weight.CRITICAL:
            return Unclear(UnclearWhy.TOO_LOUD, command.intent if may_be_asked(here, command.intent) else "")
        if heard.drowned and _leads_elsewhere(command, here):
            return Unclear(UnclearWhy.UNSURE, _asked_if_elsewhere(command, here))
        sure = _if_sure(command, text, heard, here, limits)
        return sure if isinstance(sure, Unclear) else replace(sure, alike=_alike(text, sure, here, language))
    if not _takes_words(here, heard):
        return Unclear(UnclearWhy.NOT_HERE)
    if heard.clarity is Clarity.DICTATION:
        for phrase in language.phrases.phrases("end_note"):
            if text.endswith(f" {phrase}"):  # said in one breath with the last words
                return Command("end_note", text=" ".join(heard.text.split()[: -len(phrase.split())]))
    typed = heard.source is Source.KEY and text not in _every_phrase(language)  # a key that is a phrase is no text
    if heard.clarity is Clarity.DICTATION or typed:
        return Command(WORDS, text=" ".join(heard.text.split()))
    return Unclear(UnclearWhy.NOT_HERE)


def _leads_elsewhere(command: Command, here: Here) -> bool:
    """Return whether ``command`` moves the job, which does not wait for it: an answer, or another phrase, misheard."""
    return command.intent not in (*waited_for(here), "cancel") and BY_NAME[command.intent].weight is Weight.MOVING


def _asked_if_elsewhere(command: Command, here: Here) -> str:
    """Return what is asked back of a ``command`` for which the job does not wait; "" for nothing.

    Where something else must be done before the next step, nobody means that.
    """
    is_asked = command.intent != "next" and may_be_asked(here, command.intent)
    return command.intent if is_asked and open_question(here) is None else ""


def _if_sure(command: Command, text: str, heard: Heard, here: Here, limits: Thresholds) -> Command | Unclear:
    """Return ``command`` where it was heard as surely as its phrase asks; what is expected is asked back else.

    What was asked back, and is heard once more like that, is believed: it was heard twice. In noise as loud as the
    voice it may be the answer, misheard, and is asked back again, as a critical one is everywhere.
    """
    intent = BY_NAME[command.intent]
    is_expected = intent.name in waited_for(here)
    open_one = open_question(here)
    checks = open_one in ASKED_CRITICAL and intent.name in YES_OR_NO
    limit = limits.moving if checks else limits.of(intent.weight, text, expected=is_expected)
    if heard.confidence >= limit:
        return command
    is_critical = intent.weight is Weight.CRITICAL
    if checks or not is_expected or heard.confidence < limits.asked_from(text) or not may_be_asked(here, intent.name):
        return Unclear(UnclearWhy.UNSURE)
    is_believed = open_one == intent.name and not heard.drowned and not is_critical
    return command if is_believed else Unclear(UnclearWhy.UNSURE, intent.name)


def _alike(text: str, command: Command, here: Here, language: Language) -> tuple[Decimal, ...]:
    """Return the other numbers that can be here and are easily heard as the one in ``text``."""
    names = (command.intent,)
    return alike_values(text, command, here, language, lambda other: command_of(other, names, language, here))


def _takes_words(here: Here, heard: Heard) -> bool:
    row = table.row_of(here.phase)
    return WORDS in row.acts and (row.free_speech or heard.source is Source.KEY)


@cache
def _every_phrase(language: Language) -> frozenset[str]:
    return frozenset(phrase for intent in INTENTS for phrase in language.phrases.phrases(intent.name))


def is_phrase(text: str, language: Language) -> bool:
    """Return whether ``text`` is a phrase of some state, with its number where it wants one, or with any name.

    A name that is all of its phrase is known only where a job stands; of those, numbers are taken for phrases.
    """
    said = " ".join(text.lower().split())
    number = _slot("{}", SlotKind.DECIMAL, None, language).inside(said)
    if command_of(said, BY_NAME, language) is not None:
        return True
    if number is not None and language.numbers.parse_number_words(number) is not None:
        return True
    slots = (
        Slot.of(phrase, SlotKind.NAME)
        for intent in INTENTS
        if intent.slot is SlotKind.NAME
        for phrase in language.phrases.phrases(intent.name)
    )
    return any(slot.inside(said) is not None for slot in slots if slot.before or slot.after)


def command_of(text: str, names: Iterable[str], language: Language, here: Here | None = None) -> Command | None:
    """Return the command that ``text`` is, among the intents ``names``; None if it is none.

    A phrase with a name in it is one only where the job stands ``here``; elsewhere any unit may be said with a number.
    """
    unit = None if here is None else _unit(here)
    for name in names:
        if name == WORDS:
            continue
        slot = BY_NAME[name].slot
        for phrase in language.phrases.phrases(name):
            if slot is None:
                if text == phrase:
                    return Command(name)
                continue
            there = _slot(phrase, slot, unit, language)
            inside = there.inside(text)
            if inside is None:
                continue
            if slot is SlotKind.NAME:
                known = {} if here is None else spoken_names(name, here, language)
                if inside in known:
                    return Command(name, name=known[inside])
                continue
            number = _number(inside, there.kind, language)
            if number is None and here is not None and name in LIKELY_IN:
                number = _said_as(inside, here, language)
            if number is not None:
                return Command(name, number)
    return None


def _said_as(text: str, here: Here, language: Language) -> Decimal | None:
    """Return the value that can be here and is said as ``text``, which is no number by itself: "oh five"."""
    return next((value for value in _likely(here) if text in language.numbers.number_ways(value)), None)


def _number(text: str, kind: SlotKind, language: Language) -> Decimal | None:
    """Read a number that was spoken, or typed in digits."""
    number = language.numbers.parse_number_words(text)
    if number is not None and number != round(number, kind.decimals):
        return None
    if number is None:
        try:
            number = Decimal(text) if text.isascii() and text.replace(".", "", 1).isdigit() else None
        except InvalidOperation:
            return None
    if number is None or not 0 <= number < 1000:
        return None
    if kind is SlotKind.WHOLE and (number != int(number) or number > 99):
        return None
    return number
