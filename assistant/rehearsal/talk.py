"""A talk as text, for a rehearsal that is typed: one utterance a line, and lines that let time pass.

docs/rehearsing.md describes the lines. A talk is read to its end before anything of it is done, so that a slip in its
last line costs nothing.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.events import Clarity, Source
from assistant.faults import LONGEST, quoted
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.session.understanding import is_phrase

MOST_TALK_BYTES = 1_000_000
"""A talk for a job of 500 steps has about 20,000."""
_MOST_S = 400 * 24 * 3600
"""The longest time that one line may let pass: over a year is a slip of the finger [s]."""
_MOST_S_IN_ALL = 10 * 365 * 24 * 3600
_UNITS = {"s": 1, "sec": 1, "second": 1, "min": 60, "minute": 60, "h": 3600, "hour": 3600, "d": 86400, "day": 86400}
_AMOUNT = re.compile(r"\s*(\d{1,9}(?:\.\d{1,3})?)\s*([a-z]+)")
_MANNERS = re.compile(r"\(([^()]*)\)\s*(.*)")
_AFTER = re.compile(r"after\s+(.+)")
_CLOCK = re.compile(r"clock\s*([+-])(.*)")
_CUSTOMER = re.compile(r"customer (grants|declines) (\d{1,4})")
_SCAN = re.compile(r"\[scan (.+)\]")
_QUOTED = re.compile(r'"([^"]*)"')
_HANDS = {"key": Source.KEY, "pedal": Source.PEDAL, "touch": Source.TOUCH}
_SOUNDS = {"mumbles": Clarity.UNCLEAR, "background": Clarity.SPEECH}
_UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class SaidLine:
    """Something that is said or pressed, on line ``line``.

    ``after_s`` is when it begins, in seconds after the line before was answered, whether the assistant still speaks or
    not; None waits politely until it has finished.
    """

    line: int
    text: str
    source: Source = Source.VOICE
    clarity: Clarity = Clarity.PHRASE
    after_s: float | None = None
    is_sure: bool = True


@dataclass(frozen=True, slots=True)
class Passing:
    """Time that passes, in seconds, from the answer to the line before on."""

    line: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Setting:
    """Somebody sets the computer's clock by so many seconds; negative is back."""

    line: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Answering:
    """The customer grants, or else declines, the extra work ``number`` on the page, whatever is said meanwhile."""

    line: int
    number: int
    granted: bool


@dataclass(frozen=True, slots=True)
class Scanning:
    """A reader reads a code, which is no answer to anything that is asked."""

    line: int
    text: str


TalkLine = SaidLine | Passing | Setting | Answering | Scanning


class BadTalk(Exception):
    """A line of a talk makes no sense; ``sentence`` says which, why, and what to write instead."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def read_talk(data: bytes, name: str) -> list[TalkLine]:
    """Return the lines of the talk ``data``, which was read from the file ``name``.

    Raises:
        BadTalk: it is no text, it is too long, or one of its lines makes no sense.
    """
    if len(data) > MOST_TALK_BYTES:
        raise BadTalk(f"{name} is longer than {MOST_TALK_BYTES} bytes: no talk is; is it the right file?")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise BadTalk(f"{name}, line {line}: this is not UTF-8 text: save the file as UTF-8.") from fault
    lines = list(_lines(text, name))
    if sum(line.seconds for line in lines if isinstance(line, Passing)) > _MOST_S_IN_ALL:
        raise BadTalk(f"{name} lets more than ten years pass in all: no job is so long; shorten the times.")
    return lines


def _lines(text: str, name: str) -> Iterator[TalkLine]:
    for number, line in enumerate(text.splitlines(), 1):
        words = line.strip()
        if not words or words.startswith("#"):
            continue
        try:
            if not words.isprintable():
                raise _Slip("there is a character that cannot be seen: delete it.")
            yield _line(number, words)
        except _Slip as slip:
            raise BadTalk(f"{name}, line {number}: {slip}") from slip


def _line(number: int, words: str) -> TalkLine:
    if words.startswith("+"):
        return Passing(number, _seconds(words[1:]))
    if setting := _CLOCK.fullmatch(words):
        return Setting(number, _seconds(setting[2]) * (-1 if setting[1] == "-" else 1))
    if answer := _CUSTOMER.fullmatch(words):
        return Answering(number, int(answer[2]), answer[1] == "grants")
    if scan := _SCAN.fullmatch(words):
        return Scanning(number, scan[1].strip())
    return _utterance(number, words)


class _Slip(Exception):
    """What is wrong with a line, and what to write instead."""


def _seconds(words: str) -> float:
    """Read how much time passes, in seconds: a number and a unit, or several of them."""
    total, at, text = 0.0, 0, words.strip().lower()
    while amount := _AMOUNT.match(text, at):
        unit = amount[2].rstrip("s") or "s"  # the plural is the same unit
        if unit not in _UNITS:
            break
        total, at = total + float(amount[1]) * _UNITS[unit], amount.end()
    if not text or at < len(text):
        raise _Slip(f"{quoted(words)} is no time: write a number and s, min, h or d, such as +30 min or +1 h 20 min.")
    if total > _MOST_S:
        raise _Slip("that is more than 400 days: write a shorter time.")
    return total


def _utterance(number: int, words: str) -> SaidLine:
    source, clarity, after, sure = Source.VOICE, Clarity.PHRASE, None, True
    if words.startswith("!"):
        after, words = 0.0, words[1:].strip()
    if manners := _MANNERS.fullmatch(words):
        words = manners[2].strip()
        for manner in filter(None, (part.strip() for part in manners[1].split(","))):
            if manner in _HANDS:
                source = _HANDS[manner]
            elif manner in _SOUNDS:
                clarity = _SOUNDS[manner]
            elif manner == _UNSURE:
                sure = False
            elif later := _AFTER.fullmatch(manner):
                after = _seconds(later[1])
            else:
                known = ", ".join((*_HANDS, *_SOUNDS, _UNSURE, "after 2 s"))
                raise _Slip(f"{quoted(f'({manner})')} is no way to say something: write one of {known}.")
    if free := _QUOTED.fullmatch(words):
        words = " ".join(free[1].split())
        clarity = Clarity.DICTATION if clarity is Clarity.PHRASE else clarity
    elif '"' in words:
        raise _Slip("free words stand between two quotation marks, and nothing else on their line.")
    if not words and clarity is not Clarity.UNCLEAR:
        raise _Slip("there are no words: write what is said.")
    if source is Source.VOICE and clarity is Clarity.PHRASE and not is_phrase(words, LANGUAGE):
        raise _Slip(_no_phrase(words))
    return SaidLine(number, words, source, clarity, after, sure)


def _no_phrase(words: str) -> str:
    phrases = [phrase for intent in INTENTS for phrase in LANGUAGE.phrases.phrases(intent.name)]
    near = difflib.get_close_matches(words[:LONGEST].lower(), phrases, n=1)
    instead = f'did you mean "{near[0]}"?' if near else "assistant phrases lists all."
    free = "Free words go between quotation marks, and unclear ones are (mumbles)."
    return f"{quoted(words)} is no phrase: {instead} {free}"
