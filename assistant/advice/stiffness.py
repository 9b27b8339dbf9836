"""How stiff a bolt and the parts under it are, and what force and torque a further angle can make of that."""

from __future__ import annotations

import math
from dataclasses import dataclass

from assistant.fastening.assembly import assembly_force, assembly_torque
from assistant.fastening.classes import PropertyClass, Thread
from assistant.faults import Fault

STEEL = 205_000.0
"""Modulus of elasticity [MPa] of bolts (VDI 2230-1, table A9, from memory)."""
CONE = math.tan(math.radians(30))
"""Tangent [1] of half the angle of the cone that is pressed together: 30° (Shigley, section 8-5, from memory)."""
_HEAD, _ENGAGED, _NUT = 0.5, 0.5, 0.4
"""Lengths [diameters] that head, engaged thread and nut stretch like (VDI 2230-1:2015, 5.1.1, from memory)."""
SPREAD = 0.25
"""Part [1] by which the force of an angle scatters to each side (NASA-STD-5020, table 3, turn of nut)."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint: what its bolt and its parts give way by, in millimetres for each newton [mm/N]."""

    thread: Thread
    length: float
    bolt: float
    parts: float


def rod(length: float, area: float, modulus: float = STEEL) -> float:
    """Return by how much a rod gives way [mm/N].

    ``length`` [mm], ``area`` [mm²], ``modulus`` [MPa].

    Formula: l / (E A).

    Source: Hooke's law, as in VDI 2230-1:2015, 5.1.1 (from memory).

    >>> round(1e6 * rod(60, 58, 205_000), 3)
    5.046
    """
    return length / (modulus * area)


def frustum(hole: float, bearing: float, length: float, modulus: float = STEEL, cone: float = CONE) -> float:
    """Return by how much the hollow cone under a head gives way [mm/N].

    ``hole`` [mm] goes through it, ``bearing`` [mm] is its small end, ``length`` [mm] its height, ``modulus`` [MPa] that
    of the part, ``cone`` [1] the tangent of half its angle.

    Formula: ln((2 l t + D - d)(D + d) / ((2 l t + D + d)(D - d))) / (pi E d t).

    Source: Shigley, equation 8-20; VDI 2230-1:2015, 5.1.2 has the same (both from memory).

    >>> round(1e6 * frustum(10, 15, 30), 3)
    0.323
    """
    wide = 2 * length * cone + bearing
    part = (wide - hole) * (bearing + hole) / ((wide + hole) * (bearing - hole))
    return math.log(part) / (math.pi * modulus * hole * cone)


def joint_of(thread: Thread, length: float, bearing: float, hole: float, modulus: float = STEEL) -> Joint:
    """Return how a through bolt with a nut gives way, all of it thread between the heads, and its parts.

    ``thread`` [metric or inch size], clamp ``length`` [mm], ``bearing`` [mm] and ``hole`` [mm] of the head, ``modulus``
    [MPa] of the parts. A shank without thread makes the bolt a little stiffer than this.

    Formula: bolt 0.5 d / (E A) + l / (E A3) + 0.5 d / (E A3) + 0.4 d / (E A); parts: two cones of half the length.

    Source: VDI 2230-1:2015, sections 5.1.1 and 5.1.2 (from memory).

    >>> from assistant.fastening.classes import Thread
    >>> found = joint_of(Thread(10, 1.5), 60, 14.63, 11)
    >>> round(1e6 * found.bolt, 2), round(1e6 * found.parts, 2)
    (6.62, 0.73)
    """
    d = thread.diameter
    full, core = math.pi / 4 * d**2, math.pi / 4 * thread.minor_diameter**2
    bolt = rod((_HEAD + _NUT) * d, full) + rod(length + _ENGAGED * d, core)
    return Joint(thread, length, bolt, 2 * frustum(hole, bearing, length / 2, modulus))


def force_of_angle(joint: Joint, angle: float) -> float:
    """Return the force [N] that a further ``angle`` [°] adds at most, as long as nothing yields.

    ``joint`` gives how it gives way.

    Formula: dF = P angle / 360 / (bolt + parts).

    Source: VDI 2230-1:2015, section 5.4.3 on angle controlled tightening (from memory).

    >>> from assistant.fastening.classes import Thread
    >>> round(force_of_angle(Joint(Thread(10, 1.5), 60, rod(60, 58), 0.0), 1))
    826
    """
    return joint.thread.pitch * angle / 360 / (joint.bolt + joint.parts)


def factor_of_stretch(joint: Joint, torque: float, stretch: float) -> float:
    """Return the nut factor [1] of a ``torque`` [N·m] that made a bolt longer by ``stretch`` [mm].

    ``joint`` gives by how much its bolt gives way.

    Formula: F = stretch / bolt; K = T / (d F).

    Source: Shigley, equations 8-27 and, for the force of an elongation, section 8-9 (from memory).

    >>> from assistant.fastening.classes import Thread
    >>> joint = Joint(Thread(10, 1.5), 60, 6.62e-6, 0.0)
    >>> round(factor_of_stretch(joint, 48.0, 0.196), 2)
    0.16
    """
    return torque * 1000 / (joint.thread.diameter * stretch / joint.bolt)


def torque_band(
    joint: Joint, strength: PropertyClass, snug: float, angle: float, friction: tuple[float, float]
) -> tuple[float, float] | Fault:
    """Return the least and the greatest torque [N·m] behind a further angle that the joint can account for.

    ``snug`` [N·m] is the torque before the ``angle`` [°], ``friction`` [1] the lowest and the highest that may be,
    ``strength`` the least yield strength [MPa] of the bolt: it carries no more than that makes, with a fifth on top for
    what real bolts have. A band, no limit: outside of it something else happened than a bolt that stretched.

    Formula: M = min(M0 / m + dF (1 -+ 0.25), F yield) m, m being the torque of one newton.

    Source: VDI 2230-1:2015, sections 5.4.3 and 5.5.1; NASA-STD-5020, table 3 (from memory); the fifth is ours.

    >>> from assistant.fastening.classes import property_class
    >>> joint = joint_of(Thread(10, 1.5), 60, 14.63, 11)
    >>> [round(end) for end in torque_band(joint, property_class("10.9", 10), 30, 90, (0.08, 0.16))]
    [59, 115]
    """
    arms = [assembly_torque(joint.thread, 1.0, one) for one in friction]
    ends: list[float] = []
    for arm, one, part, more in zip(arms, friction, (1 - SPREAD, 1 + SPREAD), (1.0, 1.2), strict=True):
        if isinstance(arm, Fault):
            return arm
        bears = assembly_force(joint.thread, strength.yield_strength * more, one, 1.0)
        ends.append(min(snug / arm + force_of_angle(joint, angle) * part, bears) * arm)
    return ends[0], ends[1]


def angle_band(joint: Joint, start: float, end: float, friction: tuple[float, float]) -> tuple[float, float] | Fault:
    """Return the least and the greatest angle [°] from one torque to the next that the joint can account for.

    ``start`` and ``end`` [N·m] are both torques, ``friction`` [1] the lowest and the highest that may be. Rough faces
    that settle may double the angle; nothing can make it much smaller.

    Formula: angle = 360 (M1 - M0) / m (bolt + parts) / P, from 0.75 of it at high to twice it at low friction.

    Source: VDI 2230-1:2015, section 5.4.3 (from memory); twice for what settles is common practice, no source.

    >>> [round(end) for end in angle_band(joint_of(Thread(10, 1.5), 60, 14.63, 11), 0, 50, (0.08, 0.16))]
    [31, 151]
    """
    found: list[float] = []
    for one, part in ((friction[1], 1 - SPREAD), (friction[0], 2.0)):
        arm = assembly_torque(joint.thread, 1.0, one)
        if isinstance(arm, Fault):
            return arm
        found.append(part * 360 * (end - start) / arm * (joint.bolt + joint.parts) / joint.thread.pitch)
    return found[0], found[1]


AIMED_FRICTION = (0.08, 0.16)
"""Friction [1] of class B, at which most joints aim (VDI 2230-1, table A5, from memory)."""
