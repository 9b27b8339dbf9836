"""What may be said to a bay between jobs, and what one utterance means there. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import Clarity, Grammar, Heard, Slot, SlotKind, Source, Thresholds, Weight
from assistant.idle.intents import INTENTS_HERE, KEYS_MEAN, WAKE
from assistant.idle.state import Between, IdleInput, NotSure, Uttered
from assistant.language.port import Language

_HANDS = (Source.KEY, Source.PEDAL, Source.TOUCH)
_BEGIN = ("list_jobs", "list_procedures", "new_job", "list_names", "works", "resume_job", "help")
_LIST = ("next_one", "one_before", "row_number", "search", "start_job")
_ASKED = ("yes", "no", "confirmed")
_AWAKE = ("cancel", "repeat", "be_quiet", "louder", "quieter", "slower", "faster")
MOST_SEARCHED = 150
"""Words to search by that are listened for at once: more would be taken for one another. Ours."""


def heard_here(state: Between) -> tuple[str, ...]:
    """Return the intents that may be said now; with a wake phrase none of them before it was said."""
    if not state.is_awake:
        return () if state.wake else _BEGIN
    listed = () if state.listed is None else _LIST
    return (*(_ASKED if state.asking else ()), *_BEGIN, *listed, *_AWAKE)


def idle_grammar(state: Between, language: Language) -> Grammar:
    """Return what is listened for: the wake phrase alone, or the idle phrases with the names and words of now."""
    if not state.is_awake and state.wake:
        return Grammar((state.wake,))
    phrases: dict[str, None] = {}
    slots: list[Slot] = []
    for name in heard_here(state):
        slot = INTENTS_HERE[name].slot
        for phrase in language.phrases.phrases(name):
            if slot is None:
                phrases[phrase] = None
            elif slot is SlotKind.NAME:
                phrases |= {Slot.of(phrase, slot).with_inside(word): None for word in names_said(name, state, language)}
            else:
                slots.append(Slot.of(phrase, slot))
    expected = [phrase for name in _ASKED if state.asking for phrase in language.phrases.phrases(name)]
    return Grammar(tuple(phrases), tuple(slots), expected=tuple(expected))


def names_said(intent: str, state: Between, language: Language) -> Mapping[str, str]:
    """Return the names that may be said with ``intent``, each as it is spoken, and whom or what it means."""
    if intent == "works":
        return {one.spoken: one.name for one in state.known.people if one.spoken}
    return {word: word for word in search_words(state, language)}


def search_words(state: Between, language: Language) -> tuple[str, ...]:
    """Return the words of titles and machines by which a list can be searched, those of the list itself first."""
    here = () if state.listed is None else state.listed.rows
    texts = [f"{row.title} {row.machine}" for row in (*here, *state.known.jobs, *state.known.procedures)]
    taken = {phrase for name in INTENTS_HERE for phrase in language.phrases.phrases(name)}
    found = dict.fromkeys(word for text in texts for word in language.idle.words_in(text))
    return tuple(word for word in found if word not in taken)[:MOST_SEARCHED]


def understood_as(heard: Heard, state: Between, limits: Thresholds, language: Language) -> IdleInput | None:
    """Return what ``heard`` asks for; None for talk that was not meant for the bay.

    Before anybody is busy with it, whatever is said must be as sure as what is critical in a job.
    """
    if heard.clarity is Clarity.SPEECH:
        return None
    by_hand = heard.source in _HANDS
    text = " ".join(heard.text.lower().split())
    if by_hand:
        return _typed(text, state, language)
    if heard.clarity is Clarity.UNCLEAR or not text:
        return NotSure() if state.is_awake else None
    if not state.is_awake and state.wake:
        sure = heard.confidence >= limits.of(Weight.CRITICAL)
        return Uttered(WAKE) if text == state.wake and sure else None
    said = request_of(text, heard_here(state), state, language)
    if said is None:
        return NotSure() if state.is_awake else None
    weight = INTENTS_HERE[said.intent].weight if state.is_awake else Weight.CRITICAL
    if said.intent == "works" and any(one.name == said.name and one.is_alike for one in state.known.people):
        sure = heard.confidence >= limits.asked  # one name has the confidence of all that sound like it between them
        return said if sure else NotSure() if state.is_awake else None
    if heard.confidence < limits.of(weight, text, expected=state.asking is not None and said.intent in _ASKED):
        return NotSure() if state.is_awake else None
    return said


def _typed(text: str, state: Between, language: Language) -> IdleInput | None:
    """Return what a key or a typed line asks for; what is no phrase is searched for."""
    for key, means in KEYS_MEAN.items():
        if text in language.phrases.phrases(key):
            return Uttered(means, by_hand=True)
    if state.wake and text == state.wake:
        return Uttered(WAKE, by_hand=True)
    if state.listed is not None and text.isascii() and text.isdigit() and len(text) <= 3:
        return Uttered("row_number", int(text), by_hand=True)
    said = request_of(text, INTENTS_HERE, state, language)
    if said is None:
        return Uttered("search", name=text, by_hand=True) if text else None
    return Uttered(said.intent, said.number, said.name, by_hand=True)


def request_of(
    text: str, names: tuple[str, ...] | Mapping[str, object], state: Between, language: Language
) -> Uttered | None:
    """Return which of the intents ``names`` is said by ``text``; None if it is none."""
    for name in names:
        slot = INTENTS_HERE[name].slot
        for phrase in language.phrases.phrases(name):
            if slot is None:
                if text == phrase:
                    return Uttered(name)
                continue
            inside = Slot.of(phrase, slot).inside(text)
            if inside is None:
                continue
            if slot is SlotKind.NAME:
                if (found := names_said(name, state, language).get(inside)) is not None:
                    return Uttered(name, name=found)
            elif (number := _number(inside, language)) is not None:
                return Uttered(name, number)
    return None


def _number(text: str, language: Language) -> int | None:
    number = language.numbers.parse_number_words(text)
    if number is None:
        return int(text) if text.isascii() and text.isdigit() and len(text) <= 2 else None
    return int(number) if number == int(number) and number < 100 else None
