"""Is that number sane? A band for each size and class, made to catch slips of unit, decimal point and size.

The band is ours, not a published one. It never replaces the procedure's value, and it never says that a value is right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from assistant.fastening.assembly import assembly_force, assembly_torque, short_torque
from assistant.fastening.classes import COARSE_PITCHES, Thread, proof_load
from assistant.fastening.inch import InchThread, coarse_inch_threads, parse_any_thread, strength_of
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.fastening.turning import total
from assistant.faults import Fault

CANNOT_CATCH = (
    "This check sees gross slips only. A wrong value that still suits the size passes: 36 lbf·ft written as 36 N·m on "
    "an M10 bolt is not noticed. Compare with the maker's procedure."
)
_SLACK = 0.05
_MOST_ANGLE = Angle(Decimal(360), AngleUnit.DEGREE)
_STOP_ANGLE = Angle(Decimal(720), AngleUnit.DEGREE)
"""More angle in all than this is asked about, or cannot be meant; both limits are ours, not published."""


class Doubt(StrEnum):
    """What to do about a value: nothing, ask, or not go on without an override and a note."""

    OK = "ok"
    WARN = "warn"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class UsualBand:
    """Torques [N·m] that one size and class usually takes: ``low`` to ``high``; above ``stop`` it cannot be meant."""

    low: float
    high: float
    stop: float


@dataclass(frozen=True, slots=True)
class Judgement:
    """How a value looks: what strikes (nothing when empty), what to do about it, and the likely ``reasons``."""

    level: Doubt
    reason: str = ""
    advice: str = ""
    reasons: tuple[str, ...] = ()


def band(thread: Thread, class_name: str) -> UsualBand | Fault:
    """Return the band [N·m] for a bolt.

    ``thread`` [metric or inch size], ``class_name`` [marking, such as 8.8, or a grade].

    Formula: low = 0.12 d 0.5 Fp; high = assembly torque at 90 % of yield and friction 0.14; stop = 0.25 d Fp.

    Source: derived from ISO 898-1 and VDI 2230-1; ours, not published.

    >>> found = band(Thread(10, 1.5), "8.8")
    >>> round(found.low, 6), round(found.high, 6), round(found.stop, 6)
    (20.18038, 53.89707, 84.084916)
    """
    strength = strength_of(thread, class_name)
    if isinstance(strength, Fault):
        return strength
    proof = proof_load(thread.stress_area, strength.proof)
    high = assembly_torque(thread, assembly_force(thread, strength.yield_strength, 0.14), 0.14)
    if isinstance(high, Fault):
        return high
    return UsualBand(short_torque(0.12, thread.diameter, 0.5 * proof), high, short_torque(0.25, thread.diameter, proof))


def _fits(torque: float, limits: UsualBand, snug: bool) -> bool:
    low = limits.low / 10 if snug else limits.low
    return low * (1 - _SLACK) <= torque <= limits.high * (1 + _SLACK)


def _reasons(torque: Torque, thread: Thread, class_name: str, limits: UsualBand, snug: bool) -> tuple[str, ...]:
    """Return slips that would explain the value, likeliest first: another unit, a decimal point, another size."""
    reasons = [
        f"it may be {other.value} written as {torque.unit.value}"
        for other in (
            TorqueUnit.POUND_INCH,
            TorqueUnit.POUND_FOOT,
            TorqueUnit.KILOGRAM_FORCE_CENTIMETRE,
            TorqueUnit.NEWTON_METRE,
        )
        if other is not torque.unit and _fits(float(Torque(torque.value, other).newton_metres), limits, snug)
    ]
    size = float(torque.newton_metres)
    reasons += [
        f"the decimal point may be one place too far to the {side}"
        for side, factor in (("right", 0.1), ("left", 10.0))
        if _fits(size * factor, limits, snug)
    ]
    bigger = size > limits.high
    known: tuple[Thread, ...] = (
        coarse_inch_threads()
        if isinstance(thread, InchThread)
        else tuple(Thread(diameter, pitch) for diameter, pitch in COARSE_PITCHES.items())
    )
    others = [one for one in known if (one.diameter > thread.diameter if bigger else one.diameter < thread.diameter)]
    for other_thread in others if bigger else others[::-1]:
        other_band = band(other_thread, class_name)
        if isinstance(other_band, UsualBand) and _fits(size, other_band, snug):
            reasons.append(f"it would suit {other_thread}")
            break
    return tuple(reasons)


def _in(unit: TorqueUnit, size: float) -> str:
    """Return a torque [N·m] as a number in ``unit``."""
    return f"{size / float(unit.factor):.1f}"


def judge(torque: Torque, size: str, class_name: str, angles: Iterable[Angle] = ()) -> Judgement | Fault:
    """Judge the torque of a bolt, and the further angles after it if there are any.

    ``torque`` [any torque unit] is the target (snug torque when angles follow), ``size`` [metric or inch thread],
    ``class_name`` [marking], ``angles`` [degrees or turns] follow the torque.

    Formula: the torque lies in :func:`band`, 5 % slack; with angles in low/10 to high, and the angles add up to one
    turn at most (two turns stop).

    Source: ours; see :func:`band`.

    >>> from assistant.fastening.units import parse_torque
    >>> judge(parse_torque("10 N·m"), "M6", "8.8").level.value
    'ok'
    >>> judge(parse_torque("221 N·m"), "M8", "8.8").reasons[0]
    'it may be lbf·in written as N·m'
    """
    thread = parse_any_thread(size)
    if isinstance(thread, Fault):
        return thread
    limits = band(thread, class_name)
    if isinstance(limits, Fault):
        return limits
    turned = tuple(angles)
    snug = bool(turned)
    found = float(torque.newton_metres)
    angle = total(turned)
    grade = class_name.strip().removeprefix("grade").strip()
    bolt = f"{thread} {'grade' if isinstance(thread, InchThread) else 'class'} {grade}"
    if not _fits(found, limits, snug):
        reasons = _reasons(torque, thread, class_name, limits, snug)
        low = limits.low / 10 if snug else limits.low
        level = Doubt.STOP if found > limits.stop else Doubt.WARN
        side = "more" if found > limits.high else "less"
        usual = f"{_in(torque.unit, low)} to {_in(torque.unit, limits.high)} {torque.unit.value}"
        return Judgement(
            level,
            f"{torque} is {side} than {bolt} usually takes ({usual})",
            "; ".join((*reasons, "check it against the maker's procedure")),
            reasons,
        )
    if snug and angle > _MOST_ANGLE:
        level = Doubt.STOP if angle > _STOP_ANGLE else Doubt.WARN
        return Judgement(
            level,
            f"{angle} in all after {torque} is a lot for {bolt}",
            "check whether each angle is a further one or the sum",
            ("the sum may be written as a further angle",),
        )
    return Judgement(Doubt.OK)
