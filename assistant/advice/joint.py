"""What a whole joint can account for: the torque behind an angle, or the angle at a torque, with what is not known.

Where it is not said what the parts are made of, they may be anything from aluminium to steel, and where no friction is
given, that of most joints: the band is as wide as that. A doubt at most comes of it, never a pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from assistant.advice.stiffness import AIMED_FRICTION, Joint, angle_band, joint_of, torque_band
from assistant.facts.codes import Side
from assistant.fastening.assembly import head_sizes
from assistant.fastening.classes import Thread
from assistant.fastening.inch import parse_any_thread, strength_of
from assistant.fastening.quantities import Length
from assistant.faults import Fault

LEAST_CLAMPED, MOST_CLAMPED = 0.5, 40
"""Clamp lengths [diameters] between which the sums mean something; a design choice."""


class Material(StrEnum):
    """What the parts under a head are made of."""

    STEEL = "steel"
    IRON = "iron"
    ALUMINIUM = "aluminium"


MODULI = {Material.STEEL: 205_000.0, Material.IRON: 110_000.0, Material.ALUMINIUM: 70_000.0}
"""Moduli of elasticity [MPa] of steel, grey cast iron and wrought or cast aluminium (VDI 2230-1, table A9, from
memory)."""


@dataclass(frozen=True, slots=True)
class Clamped:
    """A joint between its ``soft`` and its ``stiff`` end, with the lowest and the highest ``friction`` [1]."""

    soft: Joint
    stiff: Joint
    friction: tuple[float, float]


def clamped_of(
    thread: Thread, length: Length, parts: Material | None = None, friction: float | None = None
) -> Clamped | Fault:
    """Return the joint of a through bolt with a hexagon head, as far as it is known.

    ``thread`` [metric or inch size], clamp ``length`` [length] under the head, ``parts`` [steel, iron, aluminium] that
    are clamped, ``friction`` [1] in the thread and under the head; both None where they are not known.

    Formula: one joint with the least modulus that may be, one with the greatest; a friction that is given may be off by
    a quarter to each side.

    Source: the joints by :func:`joint_of`; the quarter is ours.

    >>> from assistant.fastening.units import parse_length
    >>> found = clamped_of(parse_any_thread("M10"), parse_length("60 mm"), Material.STEEL, 0.12)
    >>> found.soft == found.stiff, [round(end, 2) for end in found.friction]
    (True, [0.09, 0.15])
    >>> clamped_of(parse_any_thread("M10"), parse_length("600 mm")).sentence
    'A clamp length of 600 mm cannot be with M10: write what lies between head and nut, such as 60 mm'
    """
    clamped = float(length.millimetres)
    if not LEAST_CLAMPED <= clamped / thread.diameter <= MOST_CLAMPED:
        reason = f"A clamp length of {length} cannot be with {thread}"
        return Fault(reason, f"write what lies between head and nut, such as {6 * thread.diameter:.0f} mm")
    sizes = head_sizes(thread)
    if isinstance(sizes, Fault):
        return sizes
    moduli = MODULI.values() if parts is None else (MODULI[parts],)
    soft, stiff = (joint_of(thread, clamped, *sizes, modulus=modulus) for modulus in (min(moduli), max(moduli)))
    around = AIMED_FRICTION if friction is None else (0.75 * friction, 1.25 * friction)
    return Clamped(soft, stiff, around)


def bolt_clamped(
    thread: str, length: Length, parts: Material | None = None, friction: float | None = None
) -> Clamped | Fault:
    """Return the same for a ``thread`` [text, such as M10 or 3/8-24] as it is written.

    Formula: that of :func:`clamped_of`.

    Source: see there.

    >>> from assistant.fastening.units import parse_length
    >>> bolt_clamped("M10", parse_length("2.4 in")).soft.length
    60.96
    """
    size = parse_any_thread(thread)
    return size if isinstance(size, Fault) else clamped_of(size, length, parts, friction)


def allowed_torque(clamped: Clamped, strength: str, snug: float, angle: float) -> tuple[float, float] | Fault:
    """Return the least and the greatest torque [N·m] behind an angle that a joint can account for.

    ``clamped`` is the joint, ``strength`` the class or grade of its bolt, ``snug`` [N·m] the torque before the
    ``angle`` [°].

    Formula: the low end of :func:`torque_band` for the soft joint, its high end for the stiff one.

    Source: see there.

    >>> from assistant.fastening.units import parse_length
    >>> steel = bolt_clamped("M10", parse_length("60 mm"), Material.STEEL)
    >>> [round(end) for end in allowed_torque(steel, "10.9", 30, 30)]
    [46, 90]
    >>> [round(end) for end in allowed_torque(bolt_clamped("M10", parse_length("60 mm")), "10.9", 30, 30)]
    [45, 90]
    """
    metal = strength_of(clamped.soft.thread, strength)
    if isinstance(metal, Fault):
        return metal
    soft, stiff = (torque_band(joint, metal, snug, angle, clamped.friction) for joint in (clamped.soft, clamped.stiff))
    if isinstance(soft, Fault) or isinstance(stiff, Fault):
        return soft if isinstance(soft, Fault) else stiff
    return soft[0], stiff[1]


def allowed_angle(clamped: Clamped, start: float, end: float) -> tuple[float, float] | Fault:
    """Return the least and the greatest angle [°] from torque ``start`` to ``end`` [N·m] that a joint can account for.

    ``clamped`` is the joint.

    Formula: the low end of :func:`angle_band` for the stiff joint, its high end for the soft one.

    Source: see there.

    >>> from assistant.fastening.units import parse_length
    >>> steel = bolt_clamped("M10", parse_length("60 mm"), Material.STEEL)
    >>> [round(end) for end in allowed_angle(steel, 0, 50)]
    [31, 151]
    """
    soft, stiff = (angle_band(joint, start, end, clamped.friction) for joint in (clamped.soft, clamped.stiff))
    if isinstance(soft, Fault) or isinstance(stiff, Fault):
        return soft if isinstance(soft, Fault) else stiff
    return stiff[0], soft[1]


def beyond(value: float, band: tuple[float, float], accuracy: float) -> Side:
    """Return on which side of a ``band`` a ``value`` [the same unit] lies, however far its tool may be off.

    ``accuracy`` [%] is that of what it was read off with.

    Formula: below where value (1 + accuracy / 100) < low, above where value (1 - accuracy / 100) > high.

    Source: arithmetic; a reading is doubted only where no error of its tool explains it.

    >>> [beyond(value, (60, 100), 4).value for value in (57, 58, 104, 105)]
    ['below', 'within', 'within', 'above']
    """
    if value * (1 + accuracy / 100) < band[0]:
        return Side.BELOW
    return Side.ABOVE if value * (1 - accuracy / 100) > band[1] else Side.WITHIN
