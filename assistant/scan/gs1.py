"""What stands in a code by the GS1 General Specifications: fields, each behind its application identifier.

Those of GS1 General Specifications, sections 3 (application identifiers) and 5 (symbology identifiers, FNC1), that name
a part, a tool or an order are taken; the others are known by their length, so that what follows is found. From memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from assistant.scan.burst import SEPARATOR


class Field(StrEnum):
    """What a field of a code names."""

    ALL = "all"
    """The whole of a code that is no GS1 code."""
    ARTICLE = "article"
    """(01), a trade item: a number of fourteen digits, shorter ones with zeros before them."""
    NUMBER = "number"
    """(240) and (241), a maker's or a customer's own number of a part."""
    SERIAL = "serial"
    """(21) and (250)."""
    ORDER = "order"
    """(400), the number of an order of a customer."""
    ASSET = "asset"
    """(8003) and (8004), something that is kept and used again, a tool for example."""


@dataclass(frozen=True, slots=True)
class Read:
    """One thing that stands in a code."""

    field: Field
    text: str


_FIELDS = {
    "01": Field.ARTICLE, "240": Field.NUMBER, "241": Field.NUMBER, "21": Field.SERIAL, "250": Field.SERIAL,
    "400": Field.ORDER, "8003": Field.ASSET, "8004": Field.ASSET,
}  # fmt: skip
_FIXED = {
    "00": 18, "01": 14, "02": 14, "03": 14, "11": 6, "12": 6, "13": 6, "15": 6, "16": 6, "17": 6, "20": 2, "402": 17,
    **{f"41{digit}": 13 for digit in range(8)},
    **{f"{first}{place}": 6 for first in (*range(310, 317), *range(320, 338), *range(340, 370)) for place in range(10)},
}  # fmt: skip
"""Identifiers of fields of a fixed length, and that length."""
_VARIABLE = {
    "10": 20, "21": 20, "22": 20, "235": 28, "240": 30, "241": 30, "242": 6, "243": 20, "250": 30, "251": 30, "253": 30,
    "254": 20, "255": 25, "30": 8, "37": 8, "400": 30, "401": 30, "403": 30, "420": 20, "421": 12, "422": 3,
    "8003": 30, "8004": 30, "8005": 6, "8006": 18, "8008": 12, "8020": 25,
    **{str(number): 90 for number in range(91, 100)}, "90": 30,
}  # fmt: skip
"""Identifiers of fields that end with a separator, or with the code, and their greatest length."""
_SYMBOLOGY = re.compile(r"\][A-Za-z][0-9A-Za-z]", re.ASCII)
_IS_GS1 = ("]C1", "]e0", "]d2", "]Q3", "]J1")
"""Symbology identifiers that say it: GS1-128, DataBar, DataMatrix, QR code and DotCode."""
_BRACKETS = re.compile(r"\((\d{2,4})\)([^()]+)", re.ASCII)
_LINK = re.compile(r"https?://[^/\s]+(?:/[^/\s]+)*?/01/(\d{8,14})(?:/[^?#]*)?(?:[?#].*)?", re.ASCII)


def read_code(text: str) -> tuple[Read, ...]:
    r"""Return what stands in the code ``text``, as a reader gives it: the whole of it first, then its fields.

    A code that its reader marks as GS1 and that is none has no fields.

    >>> read_code("GK-17")
    (Read(field=<Field.ALL: 'all'>, text='GK-17'),)
    >>> [one.text for one in read_code("]C10109501101530003240AB-1\x1d21007")][1:]
    ['09501101530003', 'AB-1', '007']
    """
    mark = _SYMBOLOGY.match(text)
    bare = text[3:] if mark else text
    whole = Read(Field.ALL, bare.replace(SEPARATOR, " ").strip())
    fields = _link(bare) or _bracketed(bare)
    if not fields and (text[:3] in _IS_GS1 if mark else SEPARATOR in bare or _looks_so(bare)):
        fields = _in_line(bare)
    return (whole, *(Read(_FIELDS[name], value) for name, value in fields if name in _FIELDS))


def is_article(digits: str) -> bool:
    """Return whether ``digits`` is a number of a trade item: 8, 12, 13 or 14 digits, the last of which checks them.

    Formula: weights 3 and 1 from the right, the last digit fills the sum up to a multiple of ten.
    Source: GS1 General Specifications, 7.9 (from memory).

    >>> is_article("9501101530003"), is_article("9501101530004")
    (True, False)
    """
    if not (digits.isascii() and digits.isdigit() and len(digits) in (8, 12, 13, 14)):
        return False
    turned = [int(digit) for digit in reversed(digits)]
    return (sum(turned[0::2]) + 3 * sum(turned[1::2])) % 10 == 0


def _looks_so(text: str) -> bool:
    """Return whether a code begins as one with the number of a trade item; its reader does not say what it is."""
    return text.startswith("01") and len(text) >= 16 and is_article(text[2:16])


def _in_line(text: str) -> list[tuple[str, str]]:
    """Return the fields of a code one behind the other; none where it cannot be parted."""
    found = []
    rest = text.lstrip(SEPARATOR)
    while rest:
        name = next((rest[:size] for size in (2, 3, 4) if rest[:size] in _FIXED or rest[:size] in _VARIABLE), "")
        if not name:
            return []
        rest = rest[len(name) :]
        length = _FIXED.get(name)
        value = rest[:length] if length else rest.partition(SEPARATOR)[0]
        if not value or len(value) != (length or len(value)) or len(value) > _VARIABLE.get(name, len(value)):
            return []
        rest = rest[len(value) :].removeprefix(SEPARATOR)
        found.append((name, value))
    return found if _are_right(found) else []


def _bracketed(text: str) -> list[tuple[str, str]]:
    """Return the fields of a code that has its identifiers in brackets, as they are printed below one."""
    pairs = _BRACKETS.findall(text)
    if not pairs or "".join(f"({name}){value}" for name, value in pairs) != text:
        return []
    found = [(name, value.strip()) for name, value in pairs]
    known = all(name in _FIXED or name in _VARIABLE for name, _ in found)
    return found if known and _are_right(found) else []


def _link(text: str) -> list[tuple[str, str]]:
    """Return the fields of an address on the web (GS1 Digital Link: the identifiers are parts of its path)."""
    if _LINK.fullmatch(text) is None:
        return []
    parts = re.split(r"[?#]", text.partition("/01/")[2])[0].split("/")
    pairs = zip(parts[1::2], parts[2::2], strict=False)
    found = [("01", parts[0].zfill(14)), *((name, value) for name, value in pairs if value)]
    return found if _are_right(found) else []


def _are_right(found: list[tuple[str, str]]) -> bool:
    """Return whether every number of a trade item has the digits that it must have."""
    return all(is_article(value) for name, value in found if name == "01")
