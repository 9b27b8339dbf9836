"""Vehicle identification numbers: their form, and the check digit where it applies.

Form: ISO 3779, seventeen characters, capital letters without I, O and Q, and digits (from memory). The check digit in
the ninth place is a law in North America: 49 CFR 565.15 (c) and its tables of values and weights (from memory); the
regions by the first character are those of ISO 3780 (1 to 5: North America). China asks for it too (first character L;
GB 16735, from memory). Elsewhere a maker may put there what it likes, so there it is a doubt and no more.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

VIN_LENGTH = 17
_FORM = re.compile(r"[A-HJ-NPR-Z0-9]{17}", re.ASCII)
_LIKE = re.compile(r"[A-Z0-9]{13,20}", re.ASCII)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    **{"P": 7, "R": 9},
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
_CHECKED = frozenset("12345L")
"""First characters of the regions in which the ninth place must be the check digit."""
_IDENTIFIER = "I"
"""Stands before the number in bar codes on vehicles (data identifier I of ANSI MH10.8.2, from memory)."""


class VinFault(StrEnum):
    """What is wrong with a number: its length, a letter that none has, or its check digit where that is a law."""

    LENGTH = "length"
    LETTER = "letter"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class Vin:
    """A number of a vehicle as it was read. ``doubted``: its ninth place is no check digit, where that is no law."""

    text: str
    fault: VinFault | None = None
    doubted: bool = False


def check_digit(vin: str) -> str:
    """Return what stands in the ninth place of ``vin``, which has the form of a number, by the rule of the check digit.

    Formula: the sum of value times weight over all places, modulo 11; ten is X. Source: 49 CFR 565.15 (c).

    >>> check_digit("11111111111111111")  # eighty-nine, modulo eleven: the example that everybody uses
    '1'
    """
    rest = sum(_VALUES[char] * weight for char, weight in zip(vin, _WEIGHTS, strict=True)) % 11
    return "X" if rest == 10 else str(rest)


def read_vin(text: str) -> Vin | None:
    """Return the number that ``text`` is, with what is wrong with it; None where it looks like none.

    A text of another length is taken for one that was read in part where it has letters and digits, both in plenty.

    >>> read_vin("00000000000000000").fault, read_vin("A1B2C3D4E5F6G7H8").fault, read_vin("gasket") is None
    (None, <VinFault.LENGTH: 'length'>, True)
    """
    text = "".join(text.split()).upper()
    if len(text) == VIN_LENGTH + 1 and text.startswith(_IDENTIFIER):
        text = text[1:]
    if _LIKE.fullmatch(text) is None or sum(char.isdigit() for char in text) < 4:
        return None
    if len(text) != VIN_LENGTH:
        mixed = sum(char.isalpha() for char in text) >= 3
        return Vin(text, VinFault.LENGTH) if mixed else None
    if _FORM.fullmatch(text) is None:
        return Vin(text, VinFault.LETTER)
    if text[8] == check_digit(text):
        return Vin(text)
    return Vin(text, VinFault.CHECK) if text[0] in _CHECKED else Vin(text, doubted=True)
