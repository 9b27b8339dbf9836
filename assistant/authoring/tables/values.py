"""What stands in one cell of a tightening table: targets, bolts, sizes. Each answers with the value or with a Fault."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from assistant.fastening.classes import parse_thread
from assistant.fastening.inch import is_inch, parse_any_thread
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.fastening.units import parse_angle, parse_torque, parse_torque_unit
from assistant.faults import Fault, quoted
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.values import parse_bolts

TableUnit = TorqueUnit | AngleUnit
TableTarget = Torque | Angle

NO_VALUE = frozenset({"", "-", "–", "—", "--", "/", "n/a", "na", "none", "n.a.", "not applicable"})
"""What is written where there is no value."""
_TURNS = {"°": AngleUnit.DEGREE, "deg": AngleUnit.DEGREE, "degree": AngleUnit.DEGREE, "degrees": AngleUnit.DEGREE,
          "º": AngleUnit.DEGREE, "turn": AngleUnit.TURN, "turns": AngleUnit.TURN}  # fmt: skip
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅙": "1/6", "⅛": "1/8"}
_PARTS = re.compile(r"\s*(?:\+|\s/\s|→|->|;|,\s|\bthen\b|\bplus\b|&|\band\b)\s*", re.IGNORECASE)
_BEFORE = re.compile(r"^(?:(?:a|by|to|tighten|turn|torque|further|additional|angle)\s+)+", re.IGNORECASE)
_COMMA = re.compile(r"(?<!\d)(\d{1,3}),(\d+)(?!\d)")
_SPREAD = re.compile(r"±|\d\s*(?:-|–|to|\.\.\.?)\s*\d", re.IGNORECASE)


def parse_unit(text: str) -> TableUnit | None:
    """Read a unit of torque or of angle; None when it is none.

    >>> parse_unit("lbf.ft"), parse_unit("deg"), parse_unit("mm")
    (<TorqueUnit.POUND_FOOT: 'lbf·ft'>, <AngleUnit.DEGREE: '°'>, None)
    """
    word = text.strip().lower().rstrip(".")
    if word in _TURNS:
        return _TURNS[word]
    unit = parse_torque_unit(text.strip()) if text.strip() else None
    return unit if isinstance(unit, TorqueUnit) else None


def parse_targets(text: str, unit: TableUnit | None) -> tuple[TableTarget, ...] | Fault:
    """Read one cell: a torque, a further angle, or several one after the other, such as ``32 Nm + 60°``.

    ``unit`` is that of the column, for a number that has none of its own; without it a bare number is refused.

    >>> [str(target) for target in parse_targets("12,5 Nm, then 1/4 turn", None)]
    ['12.5 N·m', '0.25 turn']
    >>> parse_targets("45", None).sentence
    '"45" has no unit: write for example 45 N·m or 45°, or name the unit at the head of the column'
    """
    for letter, words in _FRACTIONS.items():
        text = text.replace(letter, words)
    if _SPREAD.search(text):
        return Fault(f"{quoted(text)} is a range or has a tolerance", "write the one value that the wrench is set to")
    targets: list[TableTarget] = []
    for part in (piece for piece in _PARTS.split(text.strip()) if piece):
        target = _target(_BEFORE.sub("", part.strip()), unit)
        if isinstance(target, Fault):
            return target
        targets.append(target)
    return tuple(targets) or Fault(f"{quoted(text)} has no value", "write one")


def _target(text: str, unit: TableUnit | None) -> TableTarget | Fault:
    if both := re.fullmatch(r"([^()]+)\(([^()]+)\)", text):
        return _same(text, _target(both[1].strip(), unit), _target(both[2].strip(), None))
    number = _comma(text)
    if isinstance(number, Fault):
        return number
    if re.fullmatch(r"[+-]?[\d.]+", number):
        if unit is None:
            hint = "or name the unit at the head of the column"
            return Fault(f"{quoted(text)} has no unit", f"write for example {number} N·m or {number}°, {hint}")
        number = f"{number} {unit.value}"
    number = number.replace("º", "°")
    words = number.lower().rstrip(". ")
    turned = words.endswith(tuple(_TURNS)) or words.endswith("rad")
    return parse_angle(number) if turned else parse_torque(number)


def _same(text: str, one: TableTarget | Fault, other: TableTarget | Fault) -> TableTarget | Fault:
    """Return a value that is written in two units; what is in brackets must say the same."""
    if isinstance(one, Fault):
        return one
    if isinstance(one, Torque) and isinstance(other, Torque) and same_value(one, other):
        return one
    return Fault(f"{quoted(text)} has something in brackets that is not the same torque in another unit", "take it out")


def same_value(one: Torque, other: Torque) -> bool:
    """Return whether two torques in different units are one value; printed ones are rounded, by 5 % at most."""
    return abs(one.to(other.unit).value / other.value - 1) <= Decimal("0.05")


def _comma(text: str) -> str | Fault:
    """Put a point for a comma that parts decimals; a comma that may part thousands is not guessed at."""
    found = _COMMA.match(text)
    if found is None:
        return text
    if len(found[2]) == 3 and found[1] != "0":
        return Fault(f"{quoted(text)} may have thousands or decimals behind its comma", "write it without a comma")
    return f"{found[1]}.{found[2]}{text[found.end() :]}"


def parse_bolt_cell(text: str) -> tuple[int, ...] | Fault:
    """Read the bolts of one cell, in their order: ``7``, ``1-6``, ``1, 3, 2, 4``, ``Bolt 5``, ``1 & 2``.

    >>> parse_bolt_cell("Bolts 3-4, 2 and 1")
    (3, 4, 2, 1)
    """
    plain = re.sub(r"^(?:bolts?|screws?|nos?|nr|pos)\b\.?\s*", "", text.strip(), flags=re.IGNORECASE)
    plain = re.sub(r"\s*(?:;|&|/|\band\b|\bthen\b|→|->)\s*", ", ", plain.replace("#", ""))
    if "," not in plain and re.fullmatch(r"\d+(?:\s+\d+)+", plain):
        plain = ", ".join(plain.split())
    return parse_bolts((re.sub(r"[–—]", "-", plain),))


_METRIC = re.compile(
    r"M\s*(\d{1,2}(?:[.,]\d)?)(?:\s*[x×*]\s*(\d{1,3}(?:[.,]\d{1,2})?))?(?:\s*[x×*]\s*(\d{1,3}))?"
    r"(?:[\s,-]+(4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9))?"
)
_INCH = re.compile(
    r"([^,]*?\s?-\s?\d{1,2}(?:\s?UN[A-Z]{0,2})?)(?:[\s,]+(?:(?:SAE )?(?:grade|gr\.?)\s?)([1-8](?:\.2)?))?",
    re.ASCII | re.IGNORECASE,
)
_SHORTEST = 5
"""Behind the diameter stands the pitch, which is less than this [mm], or the length, which is not."""


@dataclass(frozen=True, slots=True)
class Size:
    """A size of bolt: its ``words`` for the ear, its ``thread`` (such as M10×1.25), property class and length."""

    words: str
    thread: str = ""
    grade: str = ""
    length: str = ""
    """In millimetres; it is not spoken, because one number in a sentence is enough."""


def parse_length_cell(text: str) -> str | None:
    """Read the length of a bolt [mm]; None when it is none.

    >>> parse_length_cell("16 mm"), parse_length_cell("22,5"), parse_length_cell("long")
    ('16', '22.5', None)
    """
    found = re.fullmatch(r"(\d{1,3}(?:[.,]\d)?)\s*(?:mm)?", text.strip(), re.ASCII)
    return found[1].replace(",", ".") if found else None


def parse_bolt_size(text: str) -> Size | Fault:
    """Read the size of a bolt, metric or an inch thread with its grade; others are spoken in ways that differ.

    >>> parse_bolt_size("M8").words, parse_bolt_size("M10x1.25x40")
    ('eight millimetre', Size(words='ten millimetre', thread='M10×1.25', grade='', length='40'))
    >>> parse_bolt_size("M10 - 10.9").grade, parse_bolt_size("M10x40, 8.8").length
    ('10.9', '40')
    >>> parse_bolt_size("6 mm").thread
    ''
    >>> parse_bolt_size("5/16 UNC").sentence
    '"5/16 UNC" is no metric size and no inch thread: write it in words, as it is spoken, or such as 3/8-16 or #10-32'
    >>> parse_bolt_size('3/8"-16 UNC grade 5')
    Size(words='three eighths inch', thread='3/8-16', grade='5', length='')
    >>> parse_bolt_size("No. 10-32 UNF")
    Size(words='number ten, thirty-two', thread='#10-32', grade='', length='')
    """
    inch = _INCH.fullmatch(text.strip())
    if inch is not None and is_inch(inch[1]):
        unified = parse_any_thread(inch[1])
        if isinstance(unified, Fault):
            return unified
        words = WRITTEN.drafting.inch_size_in_words(*str(unified).split("-"))
        return Size(words, str(unified), inch[2] or "")
    found = _METRIC.fullmatch(text.strip())
    bare = re.fullmatch(r"(\d{1,2}(?:[.,]\d)?)\s*mm", text.strip())
    if found is None and bare is None:
        if re.search(r"[\d/°\"″]", text):
            reason = f"{quoted(text)} is no metric size and no inch thread"
            return Fault(reason, "write it in words, as it is spoken, or such as 3/8-16 or #10-32")
        return Size(text.strip())
    diameter, second, third, grade = found.groups() if found else (bare and bare[1], None, None, None)
    pitch = second if second and (third or _decimal(second) < _SHORTEST) else None
    long = third if pitch or third else second
    words = WRITTEN.drafting.size_in_words(_decimal(diameter or "0"))
    thread = parse_thread(f"M{diameter}" + (f"×{pitch}" if pitch else "")) if found else None
    if isinstance(thread, Fault):
        return thread
    return Size(words, str(thread or ""), grade or "", long or "")


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))
