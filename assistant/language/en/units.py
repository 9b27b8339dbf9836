"""Values for the ear: torque, angle, bolts, time and measured values.

No digits and no unit symbols come out, because a synthesiser would spell them. Texts begin in lower case and have no
full stop, so that the caller can build a sentence with them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache

from assistant.fastening.chunks import chunk_bolts, runs
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.language.en.numbers import number_words
from assistant.language.en.words import listed

UNITS: Mapping[str, tuple[str, str]] = {
    TorqueUnit.NEWTON_METRE.value: ("newton metre", "newton metres"),
    TorqueUnit.POUND_FOOT.value: ("pound-foot", "pound-feet"),
    TorqueUnit.POUND_INCH.value: ("pound-inch", "pound-inches"),
    TorqueUnit.OUNCE_INCH.value: ("ounce-inch", "ounce-inches"),
    TorqueUnit.KILOGRAM_FORCE_METRE.value: ("kilogram-force metre", "kilogram-force metres"),
    TorqueUnit.KILOGRAM_FORCE_CENTIMETRE.value: ("kilogram-force centimetre", "kilogram-force centimetres"),
    "°": ("degree", "degrees"),
    "turn": ("turn", "turns"),
    "µm": ("micrometre", "micrometres"),
    "mm": ("millimetre", "millimetres"),
    "cm": ("centimetre", "centimetres"),
    "m": ("metre", "metres"),
    "in": ("inch", "inches"),
    "thou": ("thousandth of an inch", "thousandths of an inch"),
    "°C": ("degree Celsius", "degrees Celsius"),
    "°F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "bar": ("bar", "bar"),
    "mbar": ("millibar", "millibar"),
    "kPa": ("kilopascal", "kilopascals"),
    "MPa": ("megapascal", "megapascals"),
    "psi": ("pound per square inch", "pounds per square inch"),
    "ml": ("millilitre", "millilitres"),
    "l": ("litre", "litres"),
    "US gal": ("US gallon", "US gallons"),
    "US qt": ("US quart", "US quarts"),
    "US pt": ("US pint", "US pints"),
    "US fl oz": ("US fluid ounce", "US fluid ounces"),
    "g": ("gram", "grams"),
    "kg": ("kilogram", "kilograms"),
    "lb": ("pound", "pounds"),
    "oz": ("ounce", "ounces"),
    "N": ("newton", "newtons"),
    "kN": ("kilonewton", "kilonewtons"),
    "mV": ("millivolt", "millivolts"),
    "V": ("volt", "volts"),
    "mA": ("milliampere", "milliamperes"),
    "A": ("ampere", "amperes"),
    "Ω": ("ohm", "ohms"),
    "kΩ": ("kilohm", "kilohms"),
    "%": ("percent", "percent"),
    "rpm": ("revolution per minute", "revolutions per minute"),
    "Hz": ("hertz", "hertz"),
    "s": ("second", "seconds"),
    "min": ("minute", "minutes"),
    "h": ("hour", "hours"),
    "km": ("kilometre", "kilometres"),
}
"""A unit for the ear by its key: for exactly one, and for any other number."""


def unit_words(unit: str, value: Decimal | int) -> str:
    """Return the words for ``unit`` [key of ``UNITS``] after ``value`` [that unit]: singular after one.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> unit_words("bar", 2), unit_words("mm", 1)
    ('bar', 'millimetre')
    """
    one, many = UNITS[unit]
    return one if abs(Decimal(value)) == 1 else many


def value_words(value: Decimal | int, unit: str) -> str:
    """Say a measured ``value`` [in ``unit``], with ``unit`` [key of ``UNITS``].

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> value_words(Decimal("0.05"), "mm")
    'zero point zero five millimetres'
    """
    return f"{number_words(value)} {unit_words(unit, value)}"


_ENDINGS: Mapping[str, tuple[str, ...]] = {
    "thou": ("thousandths", "thou", "thousandth", "thousandths of an inch"),
    "lbf·ft": ("pound feet", "foot pounds", "pound foot", "foot pound"),
    "lbf·in": ("pound inches", "inch pounds", "pound inch", "inch pound"),
    "US gal": ("gallons", "gallon"),
    "US qt": ("quarts", "quart"),
    "US pt": ("pints", "pint"),
    "US fl oz": ("ounces", "ounce"),
}
"""Units that are said otherwise behind a reading than where the assistant says them."""


@cache  # it is asked for with every phrase that an utterance could be
def unit_endings(unit: str | None) -> tuple[str, ...]:
    """Return how ``unit`` [key of ``UNITS``, or None for any] is said behind a reading, as a recogniser writes it.

    Source: common practice, no source.

    >>> unit_endings("thou")[:2], unit_endings("mm"), unit_endings("lbf·ft")[:2]
    (('thousandths', 'thou'), ('millimetres', 'millimetre'), ('pound feet', 'foot pounds'))
    """
    if unit is None:
        return tuple(dict.fromkeys(ending for one in UNITS for ending in unit_endings(one)))
    one, many = UNITS.get(unit, ("", ""))
    said = (way.lower().replace("-", " ") for way in (many, one) if way)
    return _ENDINGS.get(unit) or tuple(dict.fromkeys(said))


def torque_words(torque: Torque) -> str:
    """Say ``torque`` [any torque unit] in its own unit.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> torque_words(Torque(Decimal(33), TorqueUnit.POUND_FOOT))
    'thirty-three pound-feet'
    >>> torque_words(Torque(Decimal(1), TorqueUnit.NEWTON_METRE))
    'one newton metre'
    """
    return value_words(torque.value, torque.unit.value)


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


def angle_words(angle: Angle, *, further: bool = True, by_eye: bool = True) -> str:
    """Say ``angle`` [degrees or turns] in degrees, with what the hand makes of it where that helps.

    ``further`` [yes or no] says that it comes on top of what was turned before; every angle of a programme does.
    ``by_eye`` [yes or no] adds what a hand can judge, for whoever has no gauge.

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
    return f"{words}, {hand}" if hand and by_eye else words


def quantity(value: Torque | Angle) -> str:
    """Say a torque or an angle inside a sentence."""
    return torque_words(value) if isinstance(value, Torque) else value_words(value.to(AngleUnit.DEGREE).value, "°")


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
    chunks = [listed([_run_words(thing) for thing in runs(chunk)]) for chunk in chunk_bolts(bolts)]
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
    return listed(said) if said else "zero seconds"
