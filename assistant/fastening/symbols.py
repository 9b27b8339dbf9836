"""Units as they are written: every unit that a value in a procedure may have. How they are said is a language's."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from assistant.fastening.quantities import TorqueUnit
from assistant.faults import Fault

SYMBOLS: Mapping[str, tuple[str, ...]] = {
    TorqueUnit.NEWTON_METRE.value: ("Nm", "N-m", "N.m"),
    TorqueUnit.POUND_FOOT.value: ("ft-lb", "lb-ft", "lbf-ft", "ft-lbf", "lb·ft"),
    TorqueUnit.POUND_INCH.value: ("in-lb", "lb-in", "lbf-in", "in-lbf", "lb·in"),
    TorqueUnit.OUNCE_INCH.value: ("oz-in", "in-oz", "ozf-in"),
    TorqueUnit.KILOGRAM_FORCE_METRE.value: ("kgf-m",),
    TorqueUnit.KILOGRAM_FORCE_CENTIMETRE.value: ("kgf-cm",),
    "°": ("deg", "degree", "degrees"),
    "turn": ("turns",),
    "µm": ("um", "μm", "micron", "microns"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": (),
    "m": ("metre", "metres"),
    "in": ("inch", "inches", '"'),
    "thou": ("thousandth", "thousandths"),
    "°C": ("degC", "C", "celsius"),
    "°F": ("degF", "F", "fahrenheit"),
    "bar": ("bars",),
    "mbar": (),
    "kPa": (),
    "MPa": (),
    "psi": ("PSI",),
    "ml": ("mL",),
    "l": ("L", "litre", "litres", "liter", "liters"),
    "US gal": ("US gallon", "US gallons"),
    "US qt": ("US quart", "US quarts"),
    "US pt": ("US pint", "US pints"),
    "US fl oz": ("US fluid ounce", "US fluid ounces"),
    "g": ("gram", "grams"),
    "kg": ("kilogram", "kilograms"),
    "lb": ("lbs", "pound", "pounds"),
    "oz": ("ounce", "ounces"),
    "N": (),
    "kN": (),
    "mV": (),
    "V": ("volt", "volts"),
    "mA": (),
    "A": ("amp", "amps", "ampere", "amperes"),
    "Ω": ("\u2126", "ohm", "ohms"),
    "kΩ": ("k\u2126", "kohm"),
    "%": ("percent", "per cent"),
    "rpm": ("r/min", "1/min"),
    "Hz": (),
    "s": ("sec", "second", "seconds"),
    "min": ("minute", "minutes"),
    "h": ("hour", "hours"),
    "km": (),
}
"""Other spellings by the printed symbol of a unit, which is its key; upper and lower case matter."""

AMOUNTS: Mapping[str, tuple[str, Decimal]] = {
    "ml": ("l", Decimal(1)),
    "l": ("l", Decimal(1000)),
    "US gal": ("l", Decimal("3785.411784")),
    "US qt": ("l", Decimal("946.352946")),
    "US pt": ("l", Decimal("473.176473")),
    "US fl oz": ("l", Decimal("29.5735295625")),
    "g": ("kg", Decimal(1)),
    "kg": ("kg", Decimal(1000)),
    "lb": ("kg", Decimal("453.59237")),
    "oz": ("kg", Decimal("28.349523125")),
}
"""The units of an amount: what it is measured in, and how many millilitres or grams there are in one, exact.

Source: SI Brochure, 9th edition, tables 7 and 8: milli is a thousandth, kilo a thousand. NIST SP 811, appendix B: a US
gallon is 231 cubic inches of 25.4 mm, a quart a quarter of it, a pint half of that, a fluid ounce a sixteenth of that;
the pound is 453.592 37 g, the ounce a sixteenth of it (all from memory).
"""
TWO_SIZES = frozenset({
    "gal", "gallon", "gallons", "qt", "quart", "quarts", "pt", "pint", "pints", "fl oz", "fluid ounce", "fluid ounces",
})  # fmt: skip
"""Names of one volume in the United States and of another one in Britain: a fifth of the oil is too much to guess."""

_WRITTEN = {spelling: key for key, others in SYMBOLS.items() for spelling in (*others, key)}


def unit_key(text: str) -> str | Fault:
    """Return the key in ``SYMBOLS`` for ``text`` [a unit as people write it]; upper and lower case matter.

    Source: names and symbols as in the SI Brochure, 9th edition, 5.4, and NIST SP 811, 6.1 (from memory).

    >>> unit_key("Nm"), unit_key("litres")
    ('N·m', 'l')
    >>> unit_key("parsec").sentence[:42]
    '"parsec" is not a unit that can be spoken:'
    """
    key = _WRITTEN.get(text.strip())
    if key is not None:
        return key
    if text.strip().lower() in TWO_SIZES:
        return Fault(
            f'"{text.strip()}" is one size in the United States and another one in Britain',
            "write US gal, US qt, US pt or US fl oz, or the amount in litres",
        )
    shown = "".join(letter if letter.isprintable() else " " for letter in text[:20])
    return Fault(f'"{shown}" is not a unit that can be spoken', f"write one of {', '.join(SYMBOLS)}")
