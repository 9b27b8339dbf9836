"""Torque and clamp force of bolts: the short form, and the longer one with thread and head friction apart.

These are general figures for judging and teaching. They are no specification: the procedure's value always stands.
Clamp force scatters widely at one torque: about 35 percent dry and 25 percent oiled (NASA-STD-5020, table 3).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from assistant.fastening.classes import Thread
from assistant.fastening.inch import InchThread, head_of
from assistant.faults import Fault

REUSED, PERMANENT = 0.75, 0.90
"""Part of the proof load [1] to aim at in joints that are opened again, or not: Shigley, 8-9 (from memory)."""

_HEADS: Mapping[float, tuple[float, float]] = {
    4: (5.88, 4.5),
    5: (6.88, 5.5),
    6: (8.88, 6.6),
    8: (11.63, 9),
    10: (14.63, 11),
    12: (16.63, 13.5),
    14: (19.64, 15.5),
    16: (22.49, 17.5),
    18: (25.34, 20),
    20: (28.19, 22),
    22: (31.71, 24),
    24: (33.61, 26),
}
"""Least bearing diameter of a hexagon head [mm] (ISO 4014, grade A) and clearance hole [mm] (ISO 273, medium), by the
nominal diameter [mm]; from memory."""


def short_torque(factor: float, diameter: float, force: float) -> float:
    """Return the torque [N·m] by the short form.

    ``factor`` [1] is the nut factor K, ``diameter`` [mm] is nominal, ``force`` [N] is the clamp force.

    Formula: T = K d F / 1000.

    Source: Shigley's Mechanical Engineering Design, equation 8-27 (from memory).

    >>> round(short_torque(0.2, 10, 13485), 6)
    26.97
    """
    return factor * diameter * force / 1000


def assembly_force(thread: Thread, yield_strength: float, friction: float, use: float = 0.9) -> float:
    """Return the clamp force [N] at which tension and twist together use a part of the yield strength.

    ``thread`` [metric or inch size], ``yield_strength`` [MPa] at 0.2 %, ``friction`` [1] in the thread, ``use`` [1] the
    part used.

    Formula: F = A use Re / sqrt(1 + 3 (1.5 (d2/d0) (P / (pi d2) + 1.155 mu))^2).

    Source: VDI 2230-1:2015, section 5.5.1 (from memory).

    >>> from assistant.fastening.classes import Thread
    >>> round(assembly_force(Thread(10, 1.5), 640, 0.12) / 1000, 6)
    29.603195
    """
    d2, d0 = thread.pitch_diameter, thread.stress_diameter
    twist = 1.5 * (d2 / d0) * (thread.pitch / (math.pi * d2) + 1.155 * friction)
    return math.pi / 4 * d0**2 * use * yield_strength / math.sqrt(1 + 3 * twist**2)


def friction_diameter(thread: Thread) -> float | Fault:
    """Return the mean friction diameter [mm] under a hexagon head on a medium clearance hole.

    ``thread`` [metric or inch size] gives the head.

    Formula: (d_w + d_h) / 2.

    Source: ISO 4014 and ISO 273; inch sizes by :func:`assistant.fastening.inch.head_of` (all from memory).

    >>> from assistant.fastening.classes import Thread
    >>> round(friction_diameter(Thread(10, 1.5)), 6)
    12.815
    """
    head = head_sizes(thread)
    return head if isinstance(head, Fault) else sum(head) / 2


def head_sizes(thread: Thread) -> tuple[float, float] | Fault:
    """Return the least bearing diameter and the clearance hole [mm] of a hexagon head.

    ``thread`` [metric or inch size] gives the head.

    Formula: the row of the table.

    Source: ISO 4014 and ISO 273; inch sizes by :func:`assistant.fastening.inch.head_of` (all from memory).

    >>> from assistant.fastening.classes import Thread
    >>> head_sizes(Thread(10, 1.5))
    (14.63, 11)
    """
    if isinstance(thread, InchThread):
        return head_of(thread)
    head = _HEADS.get(thread.diameter)
    if head is None:
        sizes = ", ".join(f"M{size:g}" for size in _HEADS)
        return Fault(f"No head size is known for {thread}", f"sizes that can be judged are {sizes}")
    return head


def assembly_torque(thread: Thread, force: float, friction: float) -> float | Fault:
    """Return the torque [N·m] that makes a clamp force, with one friction in the thread and under a hexagon head.

    ``thread`` [metric or inch size], ``force`` [N], ``friction`` [1].

    Formula: M = F (0.16 P + 0.58 d2 mu + mu D / 2) / 1000, D from :func:`friction_diameter`.

    Source: VDI 2230-1:2015, equation for M_A, section 5.4.3 (from memory).

    >>> from assistant.fastening.classes import Thread
    >>> round(assembly_torque(Thread(10, 1.5), 29600, 0.12), 6)
    48.45787
    """
    diameter = friction_diameter(thread)
    if isinstance(diameter, Fault):
        return diameter
    arm = 0.16 * thread.pitch + 0.58 * thread.pitch_diameter * friction + friction * diameter / 2
    return force * arm / 1000
