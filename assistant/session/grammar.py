"""What may be said in each state, and what one utterance means there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import cache

from assistant.events import Clarity, Command, Grammar, Heard, Limits, Slot, SlotKind, Source
from assistant.language.en.numbers import parse_number_words
from assistant.language.en.phrases import phrases
from assistant.session.intents import BY_NAME, INTENTS

QUESTIONS = (
    "repeat", "repeat_step", "repeat_stage", "where", "left", "which_bolts", "what_value", "which_tool", "how_many",
    "more", "time_left", "help", "what_missing", "brief",
)  # fmt: skip
_UNITS = ("newton_metres", "pound_feet", "pound_inches")
KNOBS = ("louder", "quieter", "slower", "faster", "be_quiet")
_WORK = (
    "next", "go_back", "skip", "skip_step", "found", "note", "problem", "pause", "hand_over", "finish", *QUESTIONS,
    *KNOBS,
)  # fmt: skip

ACCEPTS: Mapping[str, tuple[str, ...]] = {
    "preparing": ("missing", *_UNITS, *_WORK),
    "hazard": ("confirmed", *_WORK),
    "doing": ("start_timer", *_WORK),
    "checking": ("yes", "no", "start_timer", *_WORK),
    "reading": ("reading", *_UNITS, "start_timer", *_WORK),
    "reading_signed": ("reading", "reading_below", *_UNITS, "start_timer", *_WORK),
    "counting": ("count", "start_timer", *_WORK),
    "renewing": ("confirmed", *_UNITS, *_WORK),
    "tightening": ("one_by_one", "reading", *_UNITS, "start_timer", *_WORK),
    "one_bolt": ("all_together", "reading", *_UNITS, "start_timer", *_WORK),
    "out_of_limits": ("reading", "do_again", "replace", *_UNITS, *_WORK),
    "turned": ("do_again", "replace", "one_by_one", "all_together", *_UNITS, *_WORK),
    "fitting": ("count", "start_timer", *_WORK),
    "waiting": ("start_timer", *_WORK),
    "finishing": _WORK,
    "dictation": ("end_note", "cancel", "be_quiet"),
    "hand_over": ("take_over", "operator", "cancel", "repeat", "help", *KNOBS),
    "paused": ("carry_on", "where", "time_left", "repeat", "help"),
    "new": (),
    "closed": (),
}
"""Names of intents by state; "reading" is a check that asks for a value, "reading_signed" one that may be below zero.
While confirming, all of the state below may be said as well as "confirmed" and "cancel": all but a question cancels."""


@cache
def grammar_of(state: str, under: str = "") -> Grammar:
    """Return what may be said in ``state``; ``under`` is the state below while something is to be confirmed."""
    names = accepted(state, under)
    intents = [BY_NAME[name] for name in names]
    return Grammar(
        tuple(phrase for intent in intents if intent.slot is None for phrase in phrases(intent.name)),
        tuple(Slot(phrase, intent.slot) for intent in intents if intent.slot for phrase in phrases(intent.name)),
        dictation=state == "dictation",
    )


def accepted(state: str, under: str = "") -> tuple[str, ...]:
    """Return the names of the intents that are accepted in ``state``."""
    if state == "confirming":
        return tuple(dict.fromkeys(("confirmed", "cancel", "no", *ACCEPTS[under])))
    return ACCEPTS[state]


_EVERY_PHRASE = frozenset(phrase for intent in INTENTS for phrase in phrases(intent.name))


@dataclass(frozen=True, slots=True)
class Unclear:
    """Why an utterance is not acted upon: "unclear" as heard, "unsure" below the limit, "not here" in this state."""

    why: str


def understand(heard: Heard, names: Iterable[str], limits: Limits, *, dictation: bool) -> Command | Unclear | None:
    """Return what ``heard`` asks for among the intents ``names``; None for talk that was not meant for us.

    While ``dictation``, words that are no command are kept as text, and typed text as well (a name, for example).
    """
    if heard.clarity is Clarity.SPEECH:
        return None
    text = " ".join(heard.text.lower().split())
    by_hand = heard.source in (Source.KEY, Source.PEDAL, Source.TOUCH)
    if heard.clarity is Clarity.UNCLEAR or not text:
        return Unclear("unclear")
    command = _command(text, names)
    if command is not None:
        sure = by_hand or heard.confidence >= limits.of(BY_NAME[command.intent].weight)
        return command if sure else Unclear("unsure")
    typed = heard.source is Source.KEY and text not in _EVERY_PHRASE  # a key that stands for a phrase is no text
    if dictation and heard.clarity is Clarity.DICTATION:
        for phrase in phrases("end_note"):
            if text.endswith(f" {phrase}"):  # said in one breath with the last words
                return Command("end_note", text=text.removesuffix(f" {phrase}"))
    if dictation and (heard.clarity is Clarity.DICTATION or typed):
        return Command("words", text=" ".join(heard.text.split()))
    return Unclear("not here")


def is_phrase(text: str) -> bool:
    """Return whether ``text`` is a phrase of some state, with its number where it wants one."""
    return _command(" ".join(text.lower().split()), BY_NAME) is not None


def _command(text: str, names: Iterable[str]) -> Command | None:
    for name in names:
        intent = BY_NAME[name]
        for phrase in phrases(name):
            if intent.slot is None:
                if text == phrase:
                    return Command(name)
            elif text.startswith(phrase + " "):
                number = _number(text[len(phrase) + 1 :], intent.slot)
                if number is not None:
                    return Command(name, number)
    return None


def _number(text: str, kind: SlotKind) -> Decimal | None:
    """Read a number that was spoken, or typed in digits."""
    number = parse_number_words(text)
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
