"""Plain English as procedures are written in it: sentences, words, commands and the things that they are about.

Nothing here understands language. Each function looks for a few fixed forms, so that what it says can be foretold;
rules that build on it ask to look again (they warn) and never keep a file from being used.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+|:\s+")
_WORD = re.compile(r"[a-z0-9][a-z0-9'’/-]*")


def word_set(text: str) -> frozenset[str]:
    """Return the words of a list that is written as one text."""
    return frozenset(text.split())


_BOUNDARY = word_set(
    "of from off out on onto in into to with and or at by until away without over under around for through between "
    "up down back as so that when where while which is are was if free clear again aside apart together slowly "
    "carefully straight upwards downwards forwards backwards inside outside behind beside before after first then "
    "along across against above below near using fully gently evenly crosswise home round"
)
_DETERMINERS = word_set("the a an all both each every its their your this that these those one two three four")
_PAIRS = (
    ("upper", "lower"), ("left", "right"), ("front", "rear"), ("inner", "outer"), ("intake", "exhaust"),
    ("long", "short"), ("first", "second"), ("positive", "negative"), ("inlet", "outlet"), ("top", "bottom"),
)  # fmt: skip
_OPPOSITES = {one: other for pair in _PAIRS for one, other in (pair, pair[::-1])}
_AGES = word_set("old new used worn fresh clean")
"""What says nothing of which part it is: the old seal and the new seal are one part of the engine."""
PRONOUNS = frozenset({"it", "them"})

NUMBER = (
    r"(?:\d[\d.,]*|(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|"
    r"seventeen|eighteen|nineteen|twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|half)(?:[- ](?:a|and|"
    r"one|two|three|four|five|six|seven|eight|nine|hundred|thousand|point))*)"
)
"""A number in digits or in words, as part of a pattern on text in lower case."""


@dataclass(frozen=True, slots=True)
class Thing:
    """What a command is about: its last word without plural ending, and the words before it."""

    head: str
    more: frozenset[str]
    words: str

    def same(self, other: Thing) -> bool:
        """Return whether both can be one thing: one head, and no word that sets them apart."""
        if self.head != other.head or any(_OPPOSITES.get(word) in other.more for word in self.more):
            return False
        return not self.more or not other.more or bool(self.more & other.more)


def sentences(text: str) -> list[str]:
    """Return the sentences of ``text``; a colon ends one too, as it does before a list (ASD-STE100, from memory)."""
    return [sentence for sentence in _SENTENCE_END.split(text) if sentence]


def word_count(sentence: str) -> int:
    """Return the number of words; a number, and a word with hyphens, is one."""
    return sum(any(letter.isalnum() for letter in word) for word in sentence.split())


def words(text: str) -> list[str]:
    """Return the words of ``text`` in lower case."""
    return _WORD.findall(text.lower())


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """Return ``word`` without the ending of the plural.

    >>> stem("bolts"), stem("boxes"), stem("glass"), stem("bodies")
    ('bolt', 'box', 'glass', 'body')
    """
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("ses", "xes", "ches", "shes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith(("ss", "us", "is")) and len(word) > 3 else word


def stems(text: str) -> frozenset[str]:
    """Return the words of ``text`` without endings."""
    return frozenset(stem(word) for word in words(text))


def thing(text: str) -> Thing | None:
    """Return the thing that ``text`` begins with; None when it begins with none (a pronoun is none).

    >>> thing("the lower coolant hose off the cover").words
    'lower coolant hose'
    """
    found: list[str] = []
    for match in re.finditer(r"[,.;:?!]|[^\s,.;:?!]+", text.lower()):
        word = match[0]
        if word in _DETERMINERS and not found:
            continue
        if word in _BOUNDARY or word in PRONOUNS or word in _DETERMINERS or not word[0].isalnum():
            break
        found.append(word)
    if not found or found == ["not"]:
        return None
    heads = [stem(word) for word in found]
    return Thing(heads[-1], frozenset(heads[:-1]) - _AGES, " ".join(found))


def things_after(pattern: re.Pattern[str], text: str) -> Iterator[Thing]:
    """Yield the thing behind every match of ``pattern`` in ``text``."""
    for match in pattern.finditer(text):
        found = thing(text[match.end() :])
        if found is not None:
            yield found


_MOST_JOINED = 6
"""Things in one command; more are no command for the ear, and would cost time in a file that means harm."""
_JOINED = re.compile(r"[^,.;:?!]*?(?:,|\band|,\s+and)\s+(?=(?:the|a|an|both|all)\s+)")


def things(text: str) -> Iterator[Thing]:
    """Yield the thing that ``text`` begins with, and those joined to it with "and" or a comma, and an article."""
    for _ in range(_MOST_JOINED):
        found = thing(text)
        if found is None:
            return
        yield found
        joined = _JOINED.match(text)
        if joined is None:
            return
        text = text[joined.end() :]


_HANDS = "take|lift|pull|draw|press|drive|slide|push|knock|pry|prise|tap|screw|slip|lever|work|ease|jerk|twist"
_REMOVE_FIRST = re.compile(rf"\b(?:{_HANDS})\s+(?:off|out|away)\s+(?!of\b)")
_REMOVE_AROUND = re.compile(
    rf"\b(?:{_HANDS})\s+(?!off\b|out\b|away\b)((?:(?!\band\s+(?!the\b|a\b|an\b))[^.,;:?!])*?)"
    r"\s(?:off|out|away)\b(?! of the way\b| from you\b)"
)
_REMOVE = re.compile(r"\b(?:remove|disconnect|unplug|detach|unscrew|unbolt|unclip|unhook|dismount|extract)\s+")
_INSTALL = re.compile(
    r"\b(?:put|fit|refit|reinstall|install|mount|place|set|push|press|slide|slip|plug|connect|reconnect|attach|screw|"
    r"lay|lower|hang|hook|clip|insert|replace|bolt|seat|thread|route|lift|drive|return|lead|close|engage|stick)"
    r"(?:\s+(?:in|on|back|up|down))*\s+"
)


def removed(text: str) -> Iterator[Thing]:
    """Yield what the command ``text`` takes off or out; a pronoun stands for the thing named before it.

    >>> [part.words for part in removed("Mark the upper edge of the guard and take it off.")]
    ['guard']
    """
    low = text.lower()
    for pattern in (_REMOVE_FIRST, _REMOVE):
        for match in pattern.finditer(low):
            yield from _meant(low[match.end() :], low[: match.start()])
    for match in _REMOVE_AROUND.finditer(low):
        yield from _meant(match[1], low[: match.start()])


def _meant(text: str, before: str) -> Iterator[Thing]:
    found = list(things(text))
    if not found and text.strip(" .,").partition(" ")[0] in PRONOUNS:
        named = [thing(before[place.end() :]) for place in re.finditer(r"\b(?:the|a|an|both|all)\s+", before)]
        found = [one for one in named if one is not None][-1:]
    yield from found


def put_on(text: str) -> Iterator[Thing]:
    """Yield what the command ``text`` puts on, in or back.

    >>> [part.words for part in put_on("Put the washer and the nut on the stud.")]
    ['washer', 'nut']
    """
    low = text.lower()
    for match in _INSTALL.finditer(low):
        yield from things(low[match.end() :])
