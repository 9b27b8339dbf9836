"""What to set on a torque wrench: adapters that change the lever, drag of the nut, and the markings of the scale.

An adapter moves the bolt away from the wrench's square drive. The wrench still clicks by the torque at its own drive,
so another number has to be set. A plain extension bar on the drive's axis changes nothing.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from assistant.fastening.quantities import Angle, AngleUnit, Length, Torque
from assistant.faults import Fault

STRAIGHT = Angle(Decimal(0), AngleUnit.DEGREE)
"""The adapter points away from the hand."""
_EXACT_COSINES = {0: Fraction(1), 60: Fraction(1, 2), 90: Fraction(0), 120: Fraction(-1, 2), 180: Fraction(-1)}


def _cosine(angle: Angle) -> Fraction:
    """Return the cosine [1]; exact where it is rational, so that a square adapter changes nothing at all."""
    exact = _EXACT_COSINES.get(int(angle.degrees)) if angle.degrees.denominator == 1 else None
    return exact if exact is not None else Fraction(math.cos(math.radians(float(angle.degrees))))


def lever_ratio(lever: Length, extension: Length, angle: Angle = STRAIGHT) -> Fraction | Fault:
    """Return how many times the torque at the wrench's drive arrives at the bolt [1].

    ``lever`` [mm or in] is from the centre of the hand grip to the centre of the drive, ``extension`` [mm or in] from
    the centre of the drive to the centre of the bolt, ``angle`` [degrees or turns] between the wrench's axis and the
    adapter: 0 straight on, 90 square, 180 pointing back. The hand must pull at the very point that the lever was
    measured to.

    Formula: (L + E cos a) / L.

    Source: US Army TM 1-1500-204-23-9, torque wrench attachments (straight); US Navy NAVEDTRA 14008, page 50 (square:
    no change; pointing back: subtract).

    >>> from assistant.fastening.units import parse_angle, parse_length
    >>> round(float(lever_ratio(parse_length("400 mm"), parse_length("50 mm"), parse_angle("45°"))), 6)
    1.088388
    """
    if lever.value <= 0:
        return Fault(f"The lever is {lever}", "measure from the centre of the grip to the centre of the drive")
    if extension.value < 0:
        return Fault(f"The adapter is {extension} long", "its length is never less than zero; give its angle instead")
    if not 0 <= angle.degrees <= 180:
        return Fault(
            f"The adapter stands at {angle}", "give 0° for straight, 90° for square, up to 180° for pointing back"
        )
    reach = lever.millimetres + extension.millimetres * _cosine(angle)
    if reach <= 0:
        return Fault(
            f"An adapter of {extension} at {angle} reaches back past the hand on a lever of {lever}",
            "use a shorter adapter, a longer wrench, or the adapter at a right angle",
        )
    return reach / lever.millimetres


def setting(torque: Torque, lever: Length, extension: Length, angle: Angle = STRAIGHT) -> Torque | Fault:
    """Return the exact torque [unit of ``torque``] to set on the wrench so that ``torque`` arrives at the bolt.

    ``torque`` [any torque unit] is wanted at the bolt, drag included; ``lever`` [mm or in], ``extension`` [mm or in]
    and ``angle`` [degrees or turns] are those of :func:`lever_ratio`.

    Formula: set = T L / (L + E cos a).

    Source: US Army TM 1-1500-204-23-9, torque wrench attachments: 300 lbf·in, 10 in and 4 in give 214 lbf·in.

    >>> from assistant.fastening.units import parse_length, parse_torque
    >>> found = setting(parse_torque("300 lbf·in"), parse_length("10 in"), parse_length("4 in"))
    >>> round(found.value, 6)
    Decimal('214.285714')
    """
    ratio = lever_ratio(lever, extension, angle)
    return ratio if isinstance(ratio, Fault) else torque / ratio


def applied(set_torque: Torque, lever: Length, extension: Length, angle: Angle = STRAIGHT) -> Torque | Fault:
    """Return the torque [unit of ``set_torque``] at the bolt when the wrench clicks.

    ``set_torque`` [any torque unit] is set on the wrench; ``lever`` [mm or in], ``extension`` [mm or in] and ``angle``
    [degrees or turns] are those of :func:`lever_ratio`.

    Formula: T = set (L + E cos a) / L.

    Source: US Army TM 9-254, chapter 4: 60 lbf·in set, 12 in and 2 in give 70 lbf·in.

    >>> from assistant.fastening.units import parse_length, parse_torque
    >>> str(applied(parse_torque("60 lbf·in"), parse_length("12 in"), parse_length("2 in")))
    '70 lbf·in'
    """
    ratio = lever_ratio(lever, extension, angle)
    return ratio if isinstance(ratio, Fault) else set_torque * ratio


def final_torque(desired: Torque, drag: Torque) -> Torque | Fault:
    """Return the torque [unit of ``desired``] to apply at a fastener that turns with drag before it seats.

    ``desired`` [any torque unit] is the value for the joint; ``drag`` [any torque unit] is the prevailing torque,
    measured while the nut is run down, before it touches.

    Formula: final = desired + drag.

    Source: FAA AC 43.13-1B, paragraph 7-40 c and d.

    >>> from assistant.fastening.units import parse_torque
    >>> str(final_torque(parse_torque("60 lbf·in"), parse_torque("12 lbf·in")))
    '72 lbf·in'
    """
    if drag.value < 0:
        return Fault(f"The drag is {drag}", "measure it while the nut is run down; it is never less than zero")
    return desired + drag


def mark(exact: Torque, graduation: Torque, low: Torque | None = None, high: Torque | None = None) -> Torque | Fault:
    """Return the marking of the scale [unit of ``graduation``] nearest to ``exact`` that keeps within the limits.

    ``exact`` [any torque unit] is the computed setting, ``graduation`` [scale unit] the step of the scale, ``low`` and
    ``high`` [any torque unit] what the setting may not pass. Without ``high`` the marking is never above ``exact``.

    Formula: the nearest of floor(exact / step) and ceil(exact / step) steps that low <= marking <= high allows.

    Source: none; rounding never goes above a target that has no tolerance (common practice, no source).

    >>> from assistant.fastening.units import parse_torque
    >>> str(mark(parse_torque("35.8 N·m"), parse_torque("0.5 N·m")))
    '35.5 N·m'
    >>> str(mark(parse_torque("35.8 N·m"), parse_torque("0.5 N·m"), high=parse_torque("37 N·m")))
    '36.0 N·m'
    """
    if graduation.value <= 0:
        return Fault(f"The scale has a graduation of {graduation}", "give the step between two markings")
    ceiling = exact if high is None else high
    steps = exact / graduation
    markings = [graduation * count for count in {math.floor(steps), math.ceil(steps)}]
    allowed = [m for m in markings if m <= ceiling and (low is None or m >= low) and m.value > 0]
    if not allowed:
        shown = exact.to(graduation.unit).rounded(graduation.value / 100)
        return Fault(
            f"The scale has no marking near {shown} within the limits",
            f"its graduation of {graduation} is too coarse; use a wrench with a finer scale",
        )
    return min(allowed, key=lambda marking: (abs(marking.size - exact.size), marking.size))
