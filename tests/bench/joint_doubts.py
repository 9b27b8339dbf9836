"""How often the band of a joint doubts a good bolt, and finds a bad one: ``python -m tests.bench.joint_doubts``.

Bolts are drawn, not measured. The nut factor is that of a finish (Shigley, table 8-15, from memory), and the force that
comes of a torque scatters around it as NASA-STD-5020, table 3, has it: 25 percent oiled, 35 percent dry; that of an
angle by 25 percent. The bolt yields between the least yield and the least tensile strength of its class (ISO 898-1,
table 3, from memory), and the wrench is off by up to 4 percent (ISO 6789, from memory). Each is drawn evenly from end
to end, which is harder on the band than a bell around the middle. How the joint gives way is the same sum as in the
band: whether that is right for a real joint no drawing can tell.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.advice.joint import Clamped, Material, allowed_torque, beyond, bolt_clamped
from assistant.advice.stiffness import force_of_angle
from assistant.facts.codes import Side
from assistant.fastening.assembly import assembly_force, assembly_torque
from assistant.fastening.units import parse_length
from assistant.faults import Fault

BOLTS = 5_000
ACCURACY = 4.0
FINISHES = {
    "anti-seize compound": (0.12, 0.25),
    "oiled": (0.18, 0.25),
    "zinc, dry": (0.20, 0.35),
    "black, dry": (0.30, 0.35),
}
"""The nut factor [1] of a finish, and by how much [1] the force of a torque scatters around it."""
STRENGTHS = {"8.8": (640.0, 800.0), "10.9": (940.0, 1040.0)}
"""Least yield and least tensile strength [MPa]."""


@dataclass(frozen=True, slots=True)
class Programme:
    """A joint with what is done to its bolts: ``snug`` [N·m], then an ``angle`` [°]."""

    thread: str
    strength: str
    clamped: str
    snug: float
    angle: float


PROGRAMMES = (
    Programme("M8", "8.8", "30 mm", 10, 90),
    Programme("M10", "10.9", "60 mm", 30, 60),
    Programme("M10", "10.9", "45 mm", 42, 70),
    Programme("M12", "10.9", "100 mm", 50, 90),
)


GOOD = (1.0, 1.0)
"""The part [1] of the angle that was turned, and of its force that the bolt carries."""
BAD = {
    "angle forgotten": (0.0, 1.0),
    "half of the angle": (0.5, 1.0),
    "angle twice": (2.0, 1.0),
    "thread carries half": (1.0, 0.5),
}


def joint_of(programme: Programme, friction: float | None) -> Clamped:
    """Return the joint of ``programme`` between parts of steel, as far as the procedure gives it."""
    length = parse_length(programme.clamped)
    assert not isinstance(length, Fault)
    found = bolt_clamped(programme.thread, length, Material.STEEL, friction)
    assert not isinstance(found, Fault)
    return found


def friction_of(programme: Programme, factor: float) -> float:
    """Return the friction [1] that makes a nut ``factor`` [1] with the thread of ``programme``."""
    thread = joint_of(programme, None).soft.thread
    arms = [assembly_torque(thread, 1.0, one) for one in (0.0, 1.0)]
    low, high = (arm for arm in arms if not isinstance(arm, Fault))
    return (factor * thread.diameter / 1000 - low) / (high - low)


def readings(programme: Programme, finish: str, fate: tuple[float, float] = GOOD) -> Iterator[float]:
    """Yield what is read off [N·m] behind the angle at bolts of a ``finish`` that met a ``fate``."""
    draw, joint = random.Random(1), joint_of(programme, None).soft
    turned, carries = fate
    factor, scatter = FINISHES[finish]
    least, most = STRENGTHS[programme.strength]
    for _ in range(BOLTS):
        arm = factor * joint.thread.diameter / 1000 / (1 + draw.uniform(-scatter, scatter))
        friction = friction_of(programme, 1000 * arm / joint.thread.diameter)
        bears = assembly_force(joint.thread, draw.uniform(least, most), max(friction, 0.01), 1.0) * carries
        more = force_of_angle(joint, programme.angle * turned) * (1 + draw.uniform(-0.25, 0.25))
        true = min(programme.snug / arm + more, bears) * arm
        yield true * (1 + draw.uniform(-ACCURACY, ACCURACY) / 100)


def doubted(programme: Programme, finish: str, fate: tuple[float, float] = GOOD, *, known: bool) -> float:
    """Return the part [%] of bolts that their joint doubts, where the procedure gives their friction or not."""
    friction = friction_of(programme, FINISHES[finish][0]) if known else None
    band = allowed_torque(joint_of(programme, friction), programme.strength, programme.snug, programme.angle)
    assert not isinstance(band, Fault)
    sides = [beyond(one, band, ACCURACY) for one in readings(programme, finish, fate)]
    return 100 * sum(side is not Side.WITHIN for side in sides) / len(sides)


def lines() -> Iterator[str]:
    """Yield a line for each finish, then one for each fate of a bad bolt: the least and the most of the programmes."""
    for finish in FINISHES:
        for known in (False, True):
            found = [doubted(one, finish, known=known) for one in PROGRAMMES]
            what = "friction given" if known else "friction not given"
            yield f"good, {finish}, {what}: {min(found):.1f} to {max(found):.1f} % doubted"
    for fate, how in BAD.items():
        for known in (False, True):
            found = [doubted(one, "oiled", how, known=known) for one in PROGRAMMES]
            what = "friction given" if known else "friction not given"
            yield f"{fate}, oiled, {what}: {min(found):.0f} to {max(found):.0f} % doubted"


if __name__ == "__main__":
    print("\n".join(lines()))
