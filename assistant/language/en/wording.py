"""Plain English as procedures are written in it: sentences, words, commands."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.language.en import alike
from assistant.language.en.numbers import DIGITS, number_words

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+|:\s+")


def word_set(text: str) -> frozenset[str]:
    """Return the words of a list that is written as one text."""
    return frozenset(text.split())


NUMBER = (
    r"(?:\d[\d.,]*|(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|"
    r"seventeen|eighteen|nineteen|twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|half)(?:[- ](?:a|and|"
    r"one|two|three|four|five|six|seven|eight|nine|hundred|thousand|point))*)"
)
"""A number in digits or in words, as part of a pattern on text in lower case."""


def written_sentences(text: str) -> list[str]:
    """Return the sentences; a colon ends one too, as it does before a list (ASD-STE100, from memory)."""
    return [sentence for sentence in _SENTENCE_END.split(text) if sentence]


def word_count(sentence: str) -> int:
    return sum(any(letter.isalnum() for letter in word) for word in sentence.split())


# Imperatives with which the commands of the trade begin; a word that is a noun as well stands here only when it is
# hardly ever one behind "and".
_VERBS = word_set(
    "add adjust apply attach bleed bolt check clean clip close connect cut detach disconnect drain draw drive "
    "extract fill fit hang insert inspect install lay lift loosen lower lubricate measure mount move open place "
    "press pull push put refit reinstall remove replace scrape screw set slacken slide slip start stop switch "
    "take tighten torque turn undo unplug unscrew wash wipe"
)
# These go on with what was begun: hold while doing, let and feel while it happens, count what was just handled.
_WITH = word_set("hold keep let feel listen look watch count stop make see note mark report")
_OWN = re.compile(r"\b(?:it|them|its|their|both|again)\b")
_CLAUSE = re.compile(r"(?:,\s*(?:and\s+)?(?:then\s+)?|\band\s+(?:then\s+)?|\bthen\s+|;\s*)")


def sound_alike(one: str, other: str) -> bool:
    return alike.alike_by_ear(one, other)


def in_words(number: int) -> str:
    return number_words(number)


def second_instruction(text: str) -> str:
    commands = [part for part in written_sentences(text) if _verb(part) in _VERBS | _WITH]
    if len(commands) > 1:
        return commands[1].strip(" .")
    return next((clause for part in commands for clause in _second(part)), "").strip(" .")


def _verb(text: str) -> str:
    return text.lower().partition(" ")[0].strip(".,")


def _second(sentence: str) -> Iterator[str]:
    """Yield the clauses behind the first that begin anew: an imperative, about another thing."""
    if _verb(sentence) in _WITH:
        return
    for clause in _CLAUSE.split(sentence)[1:]:
        if _verb(clause) in _VERBS and not _OWN.search(clause.lower()) and " " in clause.strip():
            yield clause


_VALUE = re.compile(
    rf"\b{NUMBER}\s+(?:newton|pound|foot|kilogram|degrees?|millimetres?|centimetres?|bar|volts?|litres?|millilitres?)\b"
)


def value_in(text: str) -> str:
    return _found(_VALUE, text)


def _found(pattern: re.Pattern[str], text: str) -> str:
    found = pattern.search(text.lower())
    return found[0] if found else ""


_NEGATIVE = re.compile(r"\b(?:not|no|never|nothing|none|without|\w+n't)\b")


def negative(text: str) -> str:
    return _found(_NEGATIVE, text)


_VAGUE = re.compile(
    r"\b(?:as required|as necessary|as needed|as appropriate|if necessary|if required|if needed|where necessary|"
    r"sufficient(?:ly)?|adequate(?:ly)?|appropriate(?:ly)?|suitable|suitably|proper(?:ly)?|approximately|roughly|"
    r"more or less|reasonabl[ey]|etc)\b"
)


def vague(text: str) -> str:
    return _found(_VAGUE, text)


_UNDECIDED = re.compile(
    r"\b(?:todo|tbd|tba|fixme|xxx|decide|undecided)\b\s*[:!?]|\b(?:TODO|TBD|TBA|FIXME|XXX|DECIDE)\b|\?\?+"
)


def undecided(text: str) -> str:
    found = _UNDECIDED.search(text)  # capitals count
    return found[0].strip() if found else ""


_STAGES = re.compile(r"\bin (one|two|three|four|five|six|seven|eight|nine|ten) (?:stages?|passes|rounds)\b")


def stages_said(text: str) -> int | None:
    found = _STAGES.search(text.lower())
    return None if found is None else (*DIGITS, "ten").index(found[1])


_TIME = re.compile(rf"\b{NUMBER}\s+(?:seconds?|minutes?|hours?|days?)\b")


def time_said(text: str) -> str:
    return _found(_TIME, text)


_HIDDEN = re.compile(
    r"\b(?:danger|warning|caution|notice|attention)\s*[:!]"
    r"|\b(?:beware|be careful|take care|watch out|mind (?:your|the))\b"
)


def hazard_inside(text: str) -> str:
    return _found(_HIDDEN, text).strip(" :!")
