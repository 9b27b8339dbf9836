"""The clamp force that a torque makes in a bolt, and how plausible the nut factor behind it is."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.fastening.assembly import assembly_torque, short_torque
from assistant.fastening.classes import Thread, proof_load
from assistant.fastening.inch import thread_and_strength
from assistant.fastening.quantities import Torque
from assistant.faults import Fault

LEAST_FRICTION, MOST_FRICTION = 0.04, 0.40
"""Friction [1] that bolts have: below it nothing is known, above it they seize (VDI 2230-1, table A5, from memory)."""
LEAST_FACTOR, MOST_FACTOR = 0.08, 0.30
"""Nut factors [1] that are met in practice, from well greased to dry and rough; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Clamp:
    """``force`` [N] in the bolt, ``proof`` load [N], nut ``factor`` [1], and what speaks against it."""

    thread: Thread
    strength: str
    force: float
    proof: float
    factor: float
    doubts: tuple[str, ...]


def parse_friction(text: str) -> float | Fault:
    """Return the coefficient of friction [1] that ``text`` gives, or what is wrong with it."""
    try:
        value = float(text)
    except ValueError:
        return Fault(f"{text!r} is no coefficient of friction", "write a number such as 0.12")
    if not LEAST_FRICTION <= value <= MOST_FRICTION:
        return Fault(f"A friction of {text} cannot be", f"bolts have between {LEAST_FRICTION} and {MOST_FRICTION}")
    return value


def clamp_of(torque: Torque, size: str, class_name: str, friction: float) -> Clamp | Fault:
    """Return the clamp force of a bolt at ``torque`` [torque].

    ``size`` [metric or inch thread], ``class_name`` [marking, such as 8.8, or a grade], ``friction`` [1] in the thread
    and under the head.

    Formula: F = M / M(1 N); K = M / (d F).

    Source: VDI 2230-1:2015, section 5.4.3; Shigley, equation 8-27 (both from memory).

    >>> from decimal import Decimal
    >>> from assistant.fastening.quantities import TorqueUnit
    >>> found = clamp_of(Torque(Decimal("48.45787"), TorqueUnit.NEWTON_METRE), "M10", "8.8", 0.12)
    >>> round(found.force), round(found.factor, 4)
    (29600, 0.1637)
    """
    bolt = thread_and_strength(size, class_name)
    if isinstance(bolt, Fault):
        return bolt
    thread, strength = bolt
    arm = assembly_torque(thread, 1.0, friction)
    if isinstance(arm, Fault):
        return arm
    moment = float(torque.newton_metres)
    force, proof = moment / arm, proof_load(thread.stress_area, strength.proof)
    factor = moment / short_torque(1.0, thread.diameter, force)
    doubts = []
    if force > proof:
        doubts.append(
            "That is more than the proof load: the bolt would stay stretched. Look at unit, size and friction."
        )
    if not LEAST_FACTOR <= factor <= MOST_FACTOR:
        doubts.append(f"Nut factors are usually between {LEAST_FACTOR} and {MOST_FACTOR}: look at the friction.")
    return Clamp(thread, strength.name, force, proof, factor, tuple(doubts))
