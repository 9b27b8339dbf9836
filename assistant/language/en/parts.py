"""What a procedure handles: parts, tools, supplies; what comes off and what goes back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from assistant.language.en.wording import word_set
from assistant.language.values import Thing

_WORD = re.compile(r"[a-z0-9][a-z0-9'’/-]*")
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
_PRONOUNS = frozenset({"it", "them"})


def is_same(one: Thing, other: Thing) -> bool:
    if one.head != other.head or any(_OPPOSITES.get(word) in other.more for word in one.more):
        return False
    return not one.more or not other.more or bool(one.more & other.more)


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
    return frozenset(stem(word) for word in _WORD.findall(text.lower()))


def is_named(name: str, text: str) -> bool:
    return stems(name) <= stems(text)


def first_thing(text: str) -> Thing | None:
    """Return the thing that ``text`` begins with; None when it begins with none (a pronoun is none).

    >>> first_thing("the lower coolant hose off the cover").words
    'lower coolant hose'
    """
    found: list[str] = []
    for match in re.finditer(r"[,.;:?!]|[^\s,.;:?!]+", text.lower()):
        word = match[0]
        if word in _DETERMINERS and not found:
            continue
        if word in _BOUNDARY or word in _PRONOUNS or word in _DETERMINERS or not word[0].isalnum():
            break
        found.append(word)
    if not found or found == ["not"]:
        return None
    heads = [stem(word) for word in found]
    return Thing(heads[-1], frozenset(heads[:-1]) - _AGES, " ".join(found))


def things_after(pattern: re.Pattern[str], text: str) -> Iterator[Thing]:
    """Yield the thing behind every match of ``pattern`` in ``text``."""
    for match in pattern.finditer(text):
        found = first_thing(text[match.end() :])
        if found is not None:
            yield found


_MOST_JOINED = 6
"""Things in one command; more are no command for the ear, and would cost time in a file that means harm."""
_JOINED = re.compile(r"[^,.;:?!]*?(?:,|\band|,\s+and)\s+(?=(?:the|a|an|both|all)\s+)")


def things(text: str) -> Iterator[Thing]:
    """Yield the thing that ``text`` begins with, and those joined to it with "and" or a comma, and an article."""
    for _ in range(_MOST_JOINED):
        found = first_thing(text)
        if found is None:
            return
        yield found
        joined = _JOINED.match(text)
        if joined is None:
            return
        text = text[joined.end() :]


def named_parts(name: str) -> list[Thing]:
    return list(things(name))


# Off and back


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


def removed(text: str) -> list[Thing]:
    """Return what a command takes off; a pronoun stands for the thing named before it.

    >>> [part.words for part in removed("Mark the upper edge of the guard and take it off.")]
    ['guard']
    """
    low = text.lower()
    found: list[Thing] = []
    for pattern in (_REMOVE_FIRST, _REMOVE):
        for match in pattern.finditer(low):
            found += _meant(low[match.end() :], low[: match.start()])
    for match in _REMOVE_AROUND.finditer(low):
        found += _meant(match[1], low[: match.start()])
    return found


def _meant(text: str, before: str) -> Iterator[Thing]:
    found = list(things(text))
    if not found and text.strip(" .,").partition(" ")[0] in _PRONOUNS:
        named = [first_thing(before[place.end() :]) for place in re.finditer(r"\b(?:the|a|an|both|all)\s+", before)]
        found = [one for one in named if one is not None][-1:]
    yield from found


def put_on(text: str) -> list[Thing]:
    """Return what a command puts on.

    >>> [part.words for part in put_on("Put the washer and the nut on the stud.")]
    ['washer', 'nut']
    """
    low = text.lower()
    return [part for match in _INSTALL.finditer(low) for part in things(low[match.end() :])]


# What is let out, wiped away or read, and what the whole work is done on: nobody refits these.
_NO_PART = word_set(
    "weight reading slack load pressure dirt oil coolant water fuel rust sealant grease residue play air dust chip "
    "vehicle car van truck machine rig fluid glove burr paint gas key trace "
    "film excess remain rest scale carbon photograph"
)


def goes_back(part: Thing, tools: Iterable[str]) -> bool:
    if part.head in _NO_PART or part.words.startswith("new "):
        return False
    return not any(part.more | {part.head} <= stems(name) for name in tools)


def is_replaced(part: Thing) -> bool:
    return bool(part.more & {"old", "worn", "used"})


_OPEN = re.compile(
    r"\b(?:open|loosen|undo|unscrew|slacken)\s+(?:the|a|an|both|all)\s+"
    r"([^.,;:]*?\b(tap|valve|cap|cock|bleed screw|vent|clamp|lid)s?)\b"
)
_SHUT = re.compile(r"\b(?:shut|close|closed|closes|tight|tighten|tightened|turn off|fit|refit|screw|put|push)\b")
_OPEN_PLAINLY = re.compile(r"\bopen\s+(?:the|a|an|both)\s+([^.,;:]*?\b(?:tap|valve|cap|cock|screw|vent|clamp|lid)s?)\b")


def opened(text: str) -> tuple[str, str] | None:
    found = _OPEN.search(text.lower())
    return (found[1], found[2]) if found else None


def opened_plainly(text: str) -> str:
    found = _OPEN_PLAINLY.search(text.lower())
    return found[1] if found else ""


def is_shut(what: str, text: str) -> bool:
    return what in text.lower() and _SHUT.search(text.lower()) is not None
