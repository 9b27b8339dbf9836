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
    """Which stage it is: its number and what counts within it (2a is 2 and 1), how it is written, and its name.

    The name is that of the maker as a procedure file writes it: 2a, 2.1, C; words and Roman numbers in figures.
    """

    number: int
    part: int
    style: str
    name: str


def parse_stage(text: str) -> StageLabel | None:
    """Read the name of a stage; None when it is none.

    >>> parse_stage("Stage 2b"), parse_stage("IIIa")
    (StageLabel(number=2, part=2, style='number', name='2b'), StageLabel(number=3, part=1, style='roman', name='3a'))
    >>> parse_stage("2-1").name, parse_stage("second").name, parse_stage("stage c").name
    ('2.1', '2', 'C')
    >>> parse_stage("C").style, parse_stage("0"), parse_stage("last")
    ('letter', None, None)
    """
    plain = _NOUN.sub("", " ".join(text.lower().split())).strip(" .:)(")
    if plain in _ORDINALS:
        return StageLabel(number := _ORDINALS.index(plain) + 1, 0, "number", str(number))
    if found := _NUMBER.fullmatch(plain):
        part = int(found[3]) if found[3] else ord(found[2]) - ord("a") + 1 if found[2] else 0
        name = f"{int(found[1])}{found[2] or ''}{f'.{part}' if found[3] else ''}"
        return StageLabel(int(found[1]), part, "number", name) if int(found[1]) else None
    if found := _ROMAN.fullmatch(plain):
        number, part = _ROMANS.index(found[1]) + 1, ord(found[2]) - ord("a") + 1 if found[2] else 0
        return StageLabel(number, part, "roman", f"{number}{found[2] or ''}")
    if re.fullmatch(r"[a-h]", plain):
        return StageLabel(ord(plain) - ord("a") + 1, 0, "letter", plain.upper())
    return None
