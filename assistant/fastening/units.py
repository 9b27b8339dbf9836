"""Reading torques, angles and lengths from text: strict about what is meant, kind about how it is written.

Every ``parse_*`` answers with the quantity or with a :class:`Fault`, a value that says what is wrong and what to
write instead. None of them raises for anything that can stand in a file. The types themselves live in
:mod:`assistant.fastening.quantities`.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from assistant.fastening.quantities import (
    Angle,
    AngleUnit,
    Length,
    LengthUnit,
    Torque,
    TorqueUnit,
    as_decimal,
)
from assistant.faults import LONGEST, Fault, quoted

MOST_TORQUE = Torque(Decimal(20_000), TorqueUnit.NEWTON_METRE)
"""No hand tool with a multiplier goes further; a larger number is a slip."""
MOST_ANGLE = Angle(Decimal(3600), AngleUnit.DEGREE)
"""Ten turns."""
MOST_LENGTH = Length(Decimal(10_000), LengthUnit.MILLIMETRE)
"""Ten metres."""


_NUMBER = re.compile(
    r"(?P<number>[+-]?(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(?P<unit>.*)", re.DOTALL | re.ASCII
)
_JOINT = re.compile(r"[\s·⋅•∙*×.\-–‑_]+")
"""What may stand between the parts of a unit."""

_TORQUE_HINT = "write for example 40 N·m, 33 lbf·ft or 80 lbf·in"
_POUND = ("lbf", "lb", "lbs", "lbsf", "pound", "pounds", "poundforce")
_OUNCE = ("ozf", "oz", "ounce", "ounces")
_KILOGRAM = ("kgf", "kg", "kp")
_FOOT = ("ft", "foot", "feet")
_INCH = ("in", "inch", "inches")


def _both_ways(first: tuple[str, ...], second: tuple[str, ...], unit: TorqueUnit) -> dict[str, TorqueUnit]:
    """Spell a unit as force then arm and as arm then force; "ft" and "lb" are written either way round."""
    return {a + b: unit for one in first for two in second for a, b in ((one, two), (two, one))}


_TORQUE_WORDS: dict[str, TorqueUnit] = {
    **_both_ways(_POUND, _FOOT, TorqueUnit.POUND_FOOT),
    **_both_ways(_POUND, _INCH, TorqueUnit.POUND_INCH),
    **_both_ways(_OUNCE, _INCH, TorqueUnit.OUNCE_INCH),
    **_both_ways(_KILOGRAM, ("cm",), TorqueUnit.KILOGRAM_FORCE_CENTIMETRE),
    **_both_ways(_KILOGRAM, ("m",), TorqueUnit.KILOGRAM_FORCE_METRE),
    **{
        newton + metre: TorqueUnit.NEWTON_METRE
        for newton in ("newton", "newtons")
        for metre in ("metre", "metres", "meter", "meters")
    },
}
_NOT_TORQUE: dict[str, str] = {
    "nm": "nm is a nanometre; for a torque write N·m",
    "NM": "NM is not a unit of torque; write N·m",
    "nM": "nM is not a unit of torque; write N·m",
    "mNm": "a millinewton metre is far too small for a bolt; write N·m",
    "cNm": "centinewton metres are not used here; divide by 100 and write N·m",
    "dNm": "decinewton metres are not used here; divide by 10 and write N·m",
    "daNm": "decanewton metres are not used here; multiply by 10 and write N·m",
    "kNm": "kilonewton metres are not used here; multiply by 1000 and write N·m",
    "MNm": "MN·m is a million newton metres; write N·m",
    "mN": "mN is a millinewton, a force; write N·m",
    "N": "N is a force; a torque needs its arm too, N·m",
    **dict.fromkeys(("J", "j", "joule", "joules", "kJ"), "a joule is energy, not torque; write N·m"),
    **dict.fromkeys(_POUND, "a pound alone is not a torque; write lbf·ft or lbf·in"),
    **dict.fromkeys(_KILOGRAM, "a kilogram alone is not a torque; write kgf·m or kgf·cm"),
    **dict.fromkeys(
        (*_FOOT, *_INCH, "mm", "cm", "m", '"'), "this is a length, not a torque; write N·m, lbf·ft or lbf·in"
    ),
    **dict.fromkeys(("°", "deg", "degree", "degrees", "turn", "turns"), "this is an angle, not a torque; write N·m"),
}


def _number(text: str, what: str, hint: str) -> tuple[Decimal, str] | Fault:
    """Split ``text`` into a usable number and the rest, or say why that fails; ``what`` names the quantity."""
    shown = quoted(text)
    stripped = text.strip()
    if not stripped:
        return Fault(f"There is no {what} here", hint)
    if len(stripped) > LONGEST:
        return Fault(f"{shown} is too long for {_article(what)}", hint)
    found = _NUMBER.fullmatch(stripped)
    if found is None:
        return Fault(f"{shown} does not begin with a number", hint)
    number = found["number"]
    if "," in number:
        return Fault(
            f"{shown} has a comma in its number", f"write {number.replace(',', '.')} with a point, or no comma"
        )
    if number.count(".") > 1:
        return Fault(f"{shown} has two points in its number", hint)
    if "e" in number.lower():
        return Fault(f"{shown} has an exponent in its number", "write the number out in full")
    value = Decimal(number)
    if value <= 0:
        return Fault(f"{shown} is not more than zero", f"{_article(what)} here is always more than zero")
    return value, found["unit"]


def _article(what: str) -> str:
    return f"an {what}" if what[0] in "aeiou" else f"a {what}"


def parse_torque_unit(text: str) -> TorqueUnit | Fault:
    """Read ``text`` [a unit of torque] such as ``N·m``, ``ft-lb`` or ``kgf·cm``.

    Newton metres are read with their capital N and small m only, because nm and mN are other units.

    Source: symbols as in NIST SP 811, 6.1 and 8; nm is a nanometre (SI Brochure, from memory).

    >>> parse_torque_unit("ft-lb"), parse_torque_unit("Nm").value
    (<TorqueUnit.POUND_FOOT: 'lbf·ft'>, 'N·m')
    >>> parse_torque_unit("nm").sentence
    '"nm" is not a unit of torque: nm is a nanometre; for a torque write N·m'
    """
    joined = _JOINT.sub("", text.strip())
    if joined == "Nm":
        return TorqueUnit.NEWTON_METRE
    if joined in _NOT_TORQUE:
        return Fault(f"{quoted(text)} is not a unit of torque", _NOT_TORQUE[joined])
    word = joined.lower()
    if word in _TORQUE_WORDS:
        return _TORQUE_WORDS[word]
    if "/" in text:
        return Fault(f"{quoted(text)} is not a unit of torque", "a torque is force times arm, not force per length")
    return Fault(f"{quoted(text)} is not a unit of torque", _NOT_TORQUE.get(word, _TORQUE_HINT))


def parse_torque(text: str) -> Torque | Fault:
    """Read ``text`` [torque with unit] such as ``40 N·m``, ``40Nm``, ``33 ft-lb`` or ``80 lbf·in``.

    The unit must be written: a bare number is refused.

    Source: symbols as in NIST SP 811 (from memory).

    >>> str(parse_torque("40Nm")), str(parse_torque("33 ft-lb"))
    ('40 N·m', '33 lbf·ft')
    >>> parse_torque("40").sentence
    '"40" has no unit: write for example 40 N·m, 33 lbf·ft or 80 lbf·in'
    """
    parts = _number(text, "torque", _TORQUE_HINT)
    if isinstance(parts, Fault):
        return parts
    value, rest = parts
    if not rest:
        return Fault(f"{quoted(text)} has no unit", _TORQUE_HINT)
    unit = parse_torque_unit(rest)
    if isinstance(unit, Fault):
        return unit
    torque = Torque(value, unit)
    if torque > MOST_TORQUE:
        return Fault(f"{quoted(text)} is more than any hand tool gives", f"the most is {MOST_TORQUE}; check the number")
    return torque


_ANGLE_HINT = "write for example 90° or 1/4 turn"
_DEGREES = frozenset({"°", "deg", "degs", "degree", "degrees"})
_TURNS = frozenset({"turn", "turns", "rev", "revs", "revolution", "revolutions"})
_PART = re.compile(r"(\d{1,3})\s*/\s*(\d{1,3})\s*(?:of a\s+)?([a-z]+)", re.ASCII | re.IGNORECASE)


def _part_of_turn(found: re.Match[str]) -> Angle | Fault:
    """Read "1/3 turn": kept in turns when that ends as a decimal, else in degrees."""
    above, below, unit = int(found[1]), int(found[2]), found[3].lower()
    if unit not in _TURNS or not above or not below:
        return Fault(f"{quoted(found[0])} is not an angle", _ANGLE_HINT)
    turns = Fraction(above, below)
    if Fraction(as_decimal(turns)) == turns:
        return Angle(as_decimal(turns), AngleUnit.TURN)
    degrees = turns * 360
    if Fraction(as_decimal(degrees)) == degrees:
        return Angle(as_decimal(degrees), AngleUnit.DEGREE)
    return Fault(f"{quoted(found[0])} is no exact number of degrees", "write the angle in degrees")


def parse_angle(text: str) -> Angle | Fault:
    """Read ``text`` [angle with unit] such as ``90°``, ``90 deg``, ``0.25 turn`` or ``1/3 turn``.

    Source: symbols as in NIST SP 811, 7.2 (from memory).

    >>> str(parse_angle("90 deg")), str(parse_angle("1/4 turn")), str(parse_angle("1/3 turn"))
    ('90°', '0.25 turn', '120°')
    """
    part = _PART.fullmatch(text.strip()) if len(text) <= LONGEST else None
    if part is not None:
        angle = _part_of_turn(part)
    else:
        parts = _number(text, "angle", _ANGLE_HINT)
        if isinstance(parts, Fault):
            return parts
        value, rest = parts
        unit = rest.strip().lower().rstrip(".")
        if not unit:
            return Fault(f"{quoted(text)} has no unit", _ANGLE_HINT)
        if unit in {"rad", "radian", "radians"}:
            return Fault(f"{quoted(text)} is in radians, which no angle gauge shows", _ANGLE_HINT)
        if unit not in _DEGREES | _TURNS:
            return Fault(f"{quoted(rest)} is not a unit of angle", _ANGLE_HINT)
        angle = Angle(value, AngleUnit.DEGREE if unit in _DEGREES else AngleUnit.TURN)
    if isinstance(angle, Angle) and angle > MOST_ANGLE:
        return Fault(f"{quoted(text)} is more than ten turns", "check the number")
    return angle


_LENGTH_HINT = "write for example 400 mm or 16 in"
_LENGTH_WORDS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), LengthUnit.MILLIMETRE),
    **dict.fromkeys((*_INCH, '"', "″"), LengthUnit.INCH),
}


def parse_length(text: str) -> Length | Fault:
    """Read ``text`` [length with unit] such as ``400 mm``, ``16 in`` or ``16"``.

    Source: symbols as in NIST SP 811 (from memory).

    >>> str(parse_length('16"')), str(parse_length("400mm"))
    ('16 in', '400 mm')
    """
    parts = _number(text, "length", _LENGTH_HINT)
    if isinstance(parts, Fault):
        return parts
    value, rest = parts
    if not rest:
        return Fault(f"{quoted(text)} has no unit", _LENGTH_HINT)
    unit = _LENGTH_WORDS.get(rest.strip().lower().rstrip("."))
    if unit is None or rest.strip() == "MM":
        return Fault(f"{quoted(rest)} is not a unit of length that is used here", _LENGTH_HINT)
    length = Length(value, unit)
    if length > MOST_LENGTH:
        return Fault(f"{quoted(text)} is longer than any tool", "check the number and the unit")
    return length
