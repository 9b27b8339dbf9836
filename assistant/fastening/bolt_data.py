"""What is known of a bolt by its thread and class: areas, forces and torques to judge a value by. No specification."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.fastening.assembly import PERMANENT, REUSED, assembly_force, assembly_torque
from assistant.fastening.classes import Thread, proof_load
from assistant.fastening.inch import thread_and_strength
from assistant.fastening.plausibility import UsualBand, band
from assistant.faults import Fault

USUAL_FRICTION = 0.14
"""Coefficient of friction [1] where none is stated: the one that the band is made with."""


@dataclass(frozen=True, slots=True)
class BoltData:
    """``area`` [mm²] under stress, ``proof`` load [N]; torques [N·m] at 75 and 90 percent of it and at 90 % of yield.

    The torques are those for ``friction`` [1]; ``band`` is what the size and class usually take.
    """

    thread: Thread
    strength: str
    friction: float
    area: float
    proof: float
    torque_reused: float
    torque_permanent: float
    torque_assembly: float
    band: UsualBand


def bolt_data(size: str, class_name: str, friction: float = USUAL_FRICTION) -> BoltData | Fault:
    """Return what is known of a bolt.

    ``size`` [metric or inch thread], ``class_name`` [marking, such as 8.8, or a grade], ``friction`` [1] in the thread
    and under the head.

    Formula: area A by :attr:`Thread.stress_area`, proof load A S; torques by :func:`assembly_torque` for 0.75 and 0.90
    of the proof load, and for the force of :func:`assembly_force` at 0.9 of yield.

    Source: ISO 898-1:2013 and VDI 2230-1:2015; 75 and 90 percent: Shigley's Mechanical Engineering Design, 8-9 (all
    from memory).

    >>> found = bolt_data("M10", "8.8", 0.12)
    >>> round(found.area, 1), round(found.proof), round(found.torque_assembly, 1)
    (58.0, 33634, 48.5)
    >>> round(found.torque_reused, 1), round(found.torque_permanent, 1)
    (41.3, 49.6)
    """
    bolt = thread_and_strength(size, class_name)
    if isinstance(bolt, Fault):
        return bolt
    thread, strength = bolt
    limits = band(thread, class_name)
    if isinstance(limits, Fault):
        return limits
    area = thread.stress_area
    proof = proof_load(area, strength.proof)
    torques = []
    for force in (REUSED * proof, PERMANENT * proof, assembly_force(thread, strength.yield_strength, friction)):
        torque = assembly_torque(thread, force, friction)
        if isinstance(torque, Fault):
            return torque
        torques.append(torque)
    return BoltData(thread, strength.name, friction, area, proof, torques[0], torques[1], torques[2], limits)
