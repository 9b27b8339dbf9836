"""How values are said: every word for the ear about torque, angle, bolts, time and measured values is made here.

No digits and no unit symbols come out, because a synthesiser would spell them. Texts begin in lower case and have no
full stop, so that the caller can build a sentence with them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit, UnitFault
from assistant.language.en.numbers import digit_words, number_words

MOST_THINGS = 4
"""Things to hold in mind at once: about four chunks (Cowan, 2001, Behavioral and Brain Sciences 24, from memory)."""


@dataclass(frozen=True, slots=True)
class SpokenUnit:
    """A unit for the ear: for exactly one, and for any other number. ``written`` are other spellings that are read."""

    one: str
    many: str
    written: tuple[str, ...] = ()


SPOKEN_UNITS: Mapping[str, SpokenUnit] = {
    TorqueUnit.NEWTON_METRE.value: SpokenUnit("newton metre", "newton metres", ("Nm", "N-m", "N.m")),
    TorqueUnit.POUND_FOOT.value: SpokenUnit(
        "pound-foot", "pound-feet", ("ft-lb", "lb-ft", "lbf-ft", "ft-lbf", "lb·ft")
    ),
    TorqueUnit.POUND_INCH.value: SpokenUnit(
        "pound-inch", "pound-inches", ("in-lb", "lb-in", "lbf-in", "in-lbf", "lb·in")
    ),
    TorqueUnit.OUNCE_INCH.value: SpokenUnit("ounce-inch", "ounce-inches", ("oz-in", "in-oz", "ozf-in")),
    TorqueUnit.KILOGRAM_FORCE_METRE.value: SpokenUnit("kilogram-force metre", "kilogram-force metres", ("kgf-m",)),
    TorqueUnit.KILOGRAM_FORCE_CENTIMETRE.value: SpokenUnit(
        "kilogram-force centimetre", "kilogram-force centimetres", ("kgf-cm",)
    ),
    "°": SpokenUnit("degree", "degrees", ("deg", "degree", "degrees")),
    "turn": SpokenUnit("turn", "turns", ("turns",)),
    "µm": SpokenUnit("micrometre", "micrometres", ("um", "μm", "micron", "microns")),
    "mm": SpokenUnit("millimetre", "millimetres", ("millimetre", "millimetres", "millimeter", "millimeters")),
    "cm": SpokenUnit("centimetre", "centimetres"),
    "m": SpokenUnit("metre", "metres", ("metre", "metres")),
    "in": SpokenUnit("inch", "inches", ("inch", "inches", '"')),
    "°C": SpokenUnit("degree Celsius", "degrees Celsius", ("degC", "C", "celsius")),
    "°F": SpokenUnit("degree Fahrenheit", "degrees Fahrenheit", ("degF", "F", "fahrenheit")),
    "bar": SpokenUnit("bar", "bar", ("bars",)),
    "mbar": SpokenUnit("millibar", "millibar"),
    "kPa": SpokenUnit("kilopascal", "kilopascals"),
    "MPa": SpokenUnit("megapascal", "megapascals"),
    "psi": SpokenUnit("pound per square inch", "pounds per square inch", ("PSI",)),
    "ml": SpokenUnit("millilitre", "millilitres", ("mL",)),
    "l": SpokenUnit("litre", "litres", ("L", "litre", "litres", "liter", "liters")),
    "g": SpokenUnit("gram", "grams", ("gram", "grams")),
    "kg": SpokenUnit("kilogram", "kilograms", ("kilogram", "kilograms")),
    "N": SpokenUnit("newton", "newtons"),
    "kN": SpokenUnit("kilonewton", "kilonewtons"),
    "mV": SpokenUnit("millivolt", "millivolts"),
    "V": SpokenUnit("volt", "volts", ("volt", "volts")),
    "mA": SpokenUnit("milliampere", "milliamperes"),
    "A": SpokenUnit("ampere", "amperes", ("amp", "amps", "ampere", "amperes")),
    "Ω": SpokenUnit("ohm", "ohms", ("\u2126", "ohm", "ohms")),
    "kΩ": SpokenUnit("kilohm", "kilohms", ("k\u2126", "kohm")),
    "%": SpokenUnit("percent", "percent", ("percent", "per cent")),
    "rpm": SpokenUnit("revolution per minute", "revolutions per minute", ("r/min", "1/min")),
    "Hz": SpokenUnit("hertz", "hertz"),
    "s": SpokenUnit("second", "seconds", ("sec", "second", "seconds")),
    "min": SpokenUnit("minute", "minutes", ("minute", "minutes")),
    "h": SpokenUnit("hour", "hours", ("hour", "hours")),
    "km": SpokenUnit("kilometre", "kilometres"),
}
"""Every unit that a value in a procedure may have, by its printed symbol."""

_WRITTEN = {spelling: key for key, unit in SPOKEN_UNITS.items() for spelling in (*unit.written, key)}


def unit_key(text: str) -> str | UnitFault:
    """Return the key in ``SPOKEN_UNITS`` for ``text`` [a unit as people write it]; upper and lower case matter.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> unit_key("Nm"), unit_key("litres")
    ('N·m', 'l')
    >>> unit_key("parsec").sentence[:42]
    '"parsec" is not a unit that can be spoken:'
    """
    key = _WRITTEN.get(text.strip())
    if key is not None:
        return key
    shown = "".join(letter if letter.isprintable() else " " for letter in text[:20])
    return UnitFault(f'"{shown}" is not a unit that can be spoken', f"write one of {', '.join(SPOKEN_UNITS)}")


def unit_words(unit: str, value: Decimal | int) -> str:
    """Return the words for ``unit`` [key of ``SPOKEN_UNITS``] after ``value`` [that unit]: singular after one.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> unit_words("bar", 2), unit_words("mm", 1)
    ('bar', 'millimetre')
    """
    spoken = SPOKEN_UNITS[unit]
    return spoken.one if abs(Decimal(value)) == 1 else spoken.many


def value_words(value: Decimal | int, unit: str) -> str:
    """Say a measured ``value`` [in ``unit``], with ``unit`` [key of ``SPOKEN_UNITS``].

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> value_words(Decimal("0.05"), "mm")
    'zero point zero five millimetres'
    """
    return f"{number_words(value)} {unit_words(unit, value)}"


def value_readback(value: Decimal | int, unit: str) -> str:
    """Say a measured ``value`` [in ``unit``] digit by digit, with ``unit`` [key of ``SPOKEN_UNITS``].

    Source: digit by digit, as in radiotelephony (ICAO Doc 9432, from memory).

    >>> value_readback(Decimal("35.5"), "N·m")
    'three five point five newton metres'
    """
    return f"{digit_words(value)} {unit_words(unit, value)}"


def torque_words(torque: Torque) -> str:
    """Say ``torque`` [any torque unit] in its own unit.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> torque_words(Torque(Decimal(33), TorqueUnit.POUND_FOOT))
    'thirty-three pound-feet'
    >>> torque_words(Torque(Decimal(1), TorqueUnit.NEWTON_METRE))
    'one newton metre'
    """
    return value_words(torque.value, torque.unit.value)


def torque_readback(torque: Torque) -> str:
    """Say ``torque`` [any torque unit] digit by digit, in its own unit.

    Source: digit by digit, as in radiotelephony (ICAO Doc 9432, from memory).

    >>> torque_readback(Torque(Decimal(40), TorqueUnit.NEWTON_METRE))
    'four zero newton metres'
    """
    return value_readback(torque.value, torque.unit.value)


_HAND_REFERENCES = {
    Fraction(30): "a twelfth of a turn",
    Fraction(45): "an eighth of a turn",
    Fraction(60): "a sixth of a turn",
    Fraction(90): "a quarter turn",
    Fraction(120): "a third of a turn",
    Fraction(180): "half a turn",
    Fraction(240): "two thirds of a turn",
    Fraction(270): "three quarters of a turn",
    Fraction(360): "one full turn",
    Fraction(540): "one and a half turns",
    Fraction(720): "two full turns",
}
"""What a hand can judge, by degrees."""


def angle_words(angle: Angle, *, further: bool = True) -> str:
    """Say ``angle`` [degrees or turns] in degrees, with what the hand makes of it where that helps.

    ``further`` [yes or no] says that it comes on top of what was turned before; every angle of a programme does.

    Source: hand references are common practice, no source.

    >>> angle_words(Angle(Decimal(90), AngleUnit.DEGREE))
    'a further ninety degrees, a quarter turn'
    >>> angle_words(Angle(Decimal("0.5"), AngleUnit.TURN), further=False)
    'one hundred and eighty degrees, half a turn'
    """
    degrees = angle.to(AngleUnit.DEGREE).value
    words = value_words(degrees, "°")
    if further:
        words = f"a further {words}"
    hand = _HAND_REFERENCES.get(angle.degrees)
    return f"{words}, {hand}" if hand else words


def angle_readback(angle: Angle, *, further: bool = True) -> str:
    """Say ``angle`` [degrees or turns] digit by digit; ``further`` [yes or no] as in :func:`angle_words`.

    Source: digit by digit, as in radiotelephony (ICAO Doc 9432, from memory).

    >>> angle_readback(Angle(Decimal(90), AngleUnit.DEGREE))
    'a further nine zero degrees'
    """
    words = value_readback(angle.to(AngleUnit.DEGREE).value, "°")
    return f"a further {words}" if further else words


def _runs(bolts: Sequence[int]) -> list[tuple[int, ...]]:
    """Split into things to say: rising or falling runs of three or more by one, and single bolts."""
    things: list[tuple[int, ...]] = []
    start = 0
    while start < len(bolts):
        best = start + 1
        for step in (1, -1):
            end = start + 1
            while end < len(bolts) and bolts[end] - bolts[end - 1] == step:
                end += 1
            best = max(best, end)
        if best - start < 3:
            best = start + 1
        things.append(tuple(bolts[start:best]))
        start = best
    return things


def chunk_bolts(bolts: Sequence[int], most: int = MOST_THINGS) -> tuple[tuple[int, ...], ...]:
    """Split ``bolts`` [numbers], order kept, into chunks of at most ``most`` [count] things; a run is one thing.

    Source: about four things at once (Cowan, 2001, from memory).

    >>> chunk_bolts((1, 9, 5, 13, 3, 11, 7, 15))
    ((1, 9, 5, 13), (3, 11, 7, 15))
    >>> chunk_bolts((4, 5, 6, 7, 8))
    ((4, 5, 6, 7, 8),)
    """
    if most < 1:
        raise ValueError(f"A chunk holds at least one thing, not {most}.")
    things = _runs(bolts)
    groups = [things[first : first + most] for first in range(0, len(things), most)]
    return tuple(tuple(bolt for thing in group for bolt in thing) for group in groups)


def _join(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def bolts_words(bolts: Sequence[int]) -> str:
    """Say ``bolts`` [numbers] in the order given; more than four things are split by "then".

    Source: ours; how people of the trade say it.

    >>> bolts_words((3,)), bolts_words((4, 5, 6, 7, 8)), bolts_words((6, 5, 4))
    ('bolt three', 'bolts four to eight', 'bolts six down to four')
    >>> bolts_words((1, 5, 3, 7))
    'bolts one, five, three and seven'
    >>> bolts_words((1, 5, 3, 7, 2, 6))
    'bolts one, five, three and seven, then two and six'
    """
    if not bolts:
        return "no bolts"
    chunks = [_join([_run_words(thing) for thing in _runs(chunk)]) for chunk in chunk_bolts(bolts)]
    return f"{'bolt' if len(bolts) == 1 else 'bolts'} {', then '.join(chunks)}"


def _run_words(thing: tuple[int, ...]) -> str:
    first, last = number_words(thing[0]), number_words(thing[-1])
    if len(thing) == 1:
        return first
    return f"{first} to {last}" if thing[-1] > thing[0] else f"{first} down to {last}"


def duration_words(seconds: float) -> str:
    """Say ``seconds`` [s] of time, to the whole second; from one hour on to the whole minute.

    Source: ours; how people of the trade say it.

    >>> duration_words(125), duration_words(3600), duration_words(1)
    ('two minutes and five seconds', 'one hour', 'one second')
    """
    if not 0 <= seconds < 1e8:
        raise ValueError(f"{seconds} seconds cannot be said.")
    whole = round(seconds)
    if whole >= 3600:
        whole = round(whole / 60) * 60
    parts = [(whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s")]
    said = [value_words(number, unit) for number, unit in parts if number]
    return _join(said) if said else "zero seconds"
