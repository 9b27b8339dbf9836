"""Units as they are written: every unit that a value in a procedure may have. How they are said is a language's."""

from __future__ import annotations

from collections.abc import Mapping

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
    "°C": ("degC", "C", "celsius"),
    "°F": ("degF", "F", "fahrenheit"),
    "bar": ("bars",),
    "mbar": (),
    "kPa": (),
    "MPa": (),
    "psi": ("PSI",),
    "ml": ("mL",),
    "l": ("L", "litre", "litres", "liter", "liters"),
    "g": ("gram", "grams"),
    "kg": ("kilogram", "kilograms"),
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

AMOUNTS: Mapping[str, tuple[str, int]] = {"ml": ("l", 1), "l": ("l", 1000), "g": ("kg", 1), "kg": ("kg", 1000)}
"""The units of an amount: what it is measured in, and how many of the smallest unit of that there are in one.

Source: SI Brochure, 9th edition, tables 7 and 8 (from memory): milli is a thousandth, kilo a thousand.
"""

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
    shown = "".join(letter if letter.isprintable() else " " for letter in text[:20])
    return Fault(f'"{shown}" is not a unit that can be spoken', f"write one of {', '.join(SYMBOLS)}")
