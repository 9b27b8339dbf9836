"""The names that tables give their stages, 2, 2a, III, second, and the order that these names mean."""

from __future__ import annotations

import re
from typing import NamedTuple

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_ROMANS = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")
ORDINAL = rf"(?:\d+(?:st|nd|rd|th)|{'|'.join(_ORDINALS)})"
LABEL = r"(?:\d{1,2}(?: ?[a-z]| \d{1,2})?|(?:x|ix|iv|v?i{1,3}|v|xi{1,2})(?: ?[a-e])?|[a-h])"
"""A stage behind its noun, in lower case and with spaces for dots and dashes: 2, 2a, 2 1, iii, iiib, c."""
_NOUN = re.compile(r"^(?:stage|step|pass|phase|round)s?\b\s*|\s*\b(?:stage|step|pass|phase|round)$")
_NUMBER = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?(?:[ .\-]?([a-z])|[ .\-](\d{1,2}))?")
_ROMAN = re.compile(r"(x|ix|iv|v?i{1,3}|v|xi{1,2})(?:[ .\-]?([a-e]))?")


class StageLabel(NamedTuple):
    """Which stage it is: its number and what counts within it (2a is 2 and 1), and how it is written."""

    number: int
    part: int
    style: str


def parse_stage(text: str) -> StageLabel | None:
    """Read the name of a stage; None when it is none.

    >>> parse_stage("Stage 2b"), parse_stage("III"), parse_stage("2.1"), parse_stage("second")
    (StageLabel(number=2, part=2, style='number'), StageLabel(number=3, part=0, style='roman'), \
StageLabel(number=2, part=1, style='number'), StageLabel(number=2, part=0, style='number'))
    >>> parse_stage("C"), parse_stage("0"), parse_stage("last")
    (StageLabel(number=3, part=0, style='letter'), None, None)
    """
    plain = _NOUN.sub("", " ".join(text.lower().split())).strip(" .:)(")
    if plain in _ORDINALS:
        return StageLabel(_ORDINALS.index(plain) + 1, 0, "number")
    if found := _NUMBER.fullmatch(plain):
        part = int(found[3]) if found[3] else ord(found[2]) - ord("a") + 1 if found[2] else 0
        return StageLabel(int(found[1]), part, "number") if int(found[1]) else None
    if found := _ROMAN.fullmatch(plain):
        return StageLabel(_ROMANS.index(found[1]) + 1, ord(found[2]) - ord("a") + 1 if found[2] else 0, "roman")
    if re.fullmatch(r"[a-h]", plain):
        return StageLabel(ord(plain) - ord("a") + 1, 0, "letter")
    return None
