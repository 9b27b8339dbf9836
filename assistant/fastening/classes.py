"""Metric threads and the property classes of bolts.

Sources: ISO 261 and ISO 262 (coarse pitches), ISO 724 (diameters), ISO 898-1:2013 table 3 (classes), all from memory;
the tests compare with figures printed elsewhere.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from assistant.faults import LONGEST, Fault, quoted

COARSE_PITCHES: Mapping[float, float] = {
    3: 0.5,
    4: 0.7,
    5: 0.8,
    6: 1,
    7: 1,
    8: 1.25,
    10: 1.5,
    12: 1.75,
    14: 2,
    16: 2,
    18: 2.5,
    20: 2.5,
    22: 2.5,
    24: 3,
    27: 3,
    30: 3.5,
    33: 3.5,
    36: 4,
    39: 4,
}
"""Pitch [mm] by nominal diameter [mm]: ISO 262."""
_FINE = frozenset({0.2, 0.25, 0.35, 0.5, 0.75, 1, 1.25, 1.5, 2, 3})
_THREAD = re.compile(r"M\s?(\d{1,2})(?:\s?[x×X*]\s?(\d{1,2}(?:\.\d{1,2})?))?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Thread:
    """A metric thread: nominal ``diameter`` [mm] and ``pitch`` [mm]."""

    diameter: float
    pitch: float

    @property
    def is_coarse(self) -> bool:
        """Return whether this is the standard pitch, which is not written out."""
        return COARSE_PITCHES.get(self.diameter) == self.pitch

    @property
    def pitch_diameter(self) -> float:
        """Return d2 = d - 0.649519 P [mm] (ISO 724)."""
        return self.diameter - 0.649519 * self.pitch

    @property
    def minor_diameter(self) -> float:
        """Return d3 = d - 1.226869 P [mm] (ISO 724)."""
        return self.diameter - 1.226869 * self.pitch

    @property
    def stress_diameter(self) -> float:
        """Return d0 = (d2 + d3) / 2 [mm]."""
        return (self.pitch_diameter + self.minor_diameter) / 2

    @property
    def stress_area(self) -> float:
        """Return pi/4 d0² [mm²] (ISO 898-1:2013, 9.1.6.1, from memory)."""
        return math.pi / 4 * self.stress_diameter**2

    def __str__(self) -> str:
        return f"M{self.diameter:g}" + ("" if self.is_coarse else f"×{self.pitch:g}")


def parse_thread(text: str) -> Thread | Fault:
    """Read a metric ``text`` [size, such as ``M10`` or ``M10×1.25``]; without a pitch the coarse one is meant.

    Formula: the coarse pitch where none is written.

    Source: ISO 261 and ISO 262 (from memory).

    >>> parse_thread("M10"), str(parse_thread("M10x1.25"))
    (Thread(diameter=10.0, pitch=1.5), 'M10×1.25')
    """
    found = _THREAD.fullmatch(text.strip()) if len(text) <= LONGEST else None
    if found is None:
        return Fault(f"{quoted(text)} is not a metric thread", "write for example M10 or M10×1.25")
    diameter = float(found[1])
    coarse = COARSE_PITCHES.get(diameter)
    if coarse is None:
        sizes = ", ".join(f"M{size:g}" for size in COARSE_PITCHES)
        return Fault(f"{quoted(text)} is not a standard size", f"the sizes known here are {sizes}")
    pitch = float(found[2]) if found[2] else coarse
    if pitch != coarse and (pitch > coarse or pitch not in _FINE):
        return Fault(
            f"{quoted(text)} is not a standard pitch",
            f"the coarse pitch of M{diameter:g} is {coarse:g}, fine ones less",
        )
    return Thread(diameter, pitch)


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """One class for one range of sizes: least ``yield_strength`` (0.2 %) and ``proof`` stress [MPa]."""

    name: str
    yield_strength: float
    proof: float


_TO_M16, _OVER_M16 = (0.0, 16.0), (16.0, 39.0)
_CLASSES: Mapping[str, Mapping[tuple[float, float], PropertyClass]] = {
    "4.6": {(0, 39): PropertyClass("4.6", 240, 225)},
    "4.8": {(0, 39): PropertyClass("4.8", 340, 310)},
    "5.6": {(0, 39): PropertyClass("5.6", 300, 280)},
    "5.8": {(0, 39): PropertyClass("5.8", 420, 380)},
    "6.8": {(0, 39): PropertyClass("6.8", 480, 440)},
    "8.8": {_TO_M16: PropertyClass("8.8", 640, 580), _OVER_M16: PropertyClass("8.8", 660, 600)},
    "9.8": {_TO_M16: PropertyClass("9.8", 720, 650)},
    "10.9": {(0, 39): PropertyClass("10.9", 940, 830)},
    "12.9": {(0, 39): PropertyClass("12.9", 1100, 970)},
}
CLASS_NAMES = tuple(_CLASSES)


def property_class(name: str, diameter: float) -> PropertyClass | Fault:
    """Return the class with the marking ``name`` [such as 8.8] for a bolt of ``diameter`` [mm].

    Formula: the row of the table for the size.

    Source: ISO 898-1:2013, table 3 (from memory).

    >>> property_class("8.8", 10).proof, property_class("8.8", 20).proof
    (580, 600)
    """
    ranges = _CLASSES.get(name.strip())
    if ranges is None:
        return Fault(f"{quoted(name)} is not a property class", f"the classes are {', '.join(CLASS_NAMES)}")
    for (over, to), found in ranges.items():
        if over < diameter <= to:
            return found
    return Fault(
        f"Class {name.strip()} is not made as M{diameter:g}", "check the size and the marking on the bolt's head"
    )


def proof_load(area: float, proof: float) -> float:
    """Return the proof load [N] of a bolt.

    ``area`` [mm²] is its stress area, ``proof`` [MPa] the proof stress of its class.

    Formula: F = A S.

    Source: ISO 898-1:2013, table 5 (its loads are these products, rounded; from memory).

    >>> round(proof_load(84.3, 580), 6)
    48894.0
    """
    return area * proof
