"""A joint as it is given at the desk: a thread, and the length that is clamped under a hexagon head."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.advice.clamp import parse_friction
from assistant.advice.stiffness import AIMED_FRICTION, Joint, angle_band, force_of_angle, joint_of, torque_band
from assistant.fastening.assembly import head_sizes
from assistant.fastening.inch import parse_any_thread, strength_of
from assistant.fastening.units import parse_angle, parse_length, parse_torque
from assistant.terminal.exits import Exit, Refusal, or_refuse

_LEAST, _MOST = 0.5, 40
"""Clamp lengths in diameters between which the sums mean something; a design choice."""


def read_joint(thread: str, length: str) -> Joint:
    """Return the joint of steel parts under a hexagon head with a nut.

    Raises:
        Refusal: the thread or the length cannot be.
    """
    size = or_refuse(parse_any_thread(thread))
    clamped = float(or_refuse(parse_length(length)).millimetres)
    if not _LEAST <= clamped / size.diameter <= _MOST:
        raise Refusal(f"A clamp length of {length} cannot be with {size}: it is what lies under the head.", Exit.USAGE)
    bearing, hole = or_refuse(head_sizes(size))
    return joint_of(size, clamped, bearing, hole)


def joint_doubts(
    joint: Mapping[str, str], friction: str, found: Mapping[str, Mapping[int, Any]]
) -> tuple[list[str], list[str]]:
    """Return what the joint can account for, and the doubts about bolts with something else.

    With an angle that was asked for the final torques are judged; without, the angles that were reached at the torques.

    Raises:
        Refusal: something that is given cannot be, or lacks.
    """
    lacking = [f"--{key}" for key, text in joint.items() if not text and key != "angle"]
    if not joint["angle"] and not {"torque", "angle"} <= found.keys():
        lacking.append("--angle")
    if lacking:
        raise Refusal(f"What the joint allows needs more: give {', '.join(lacking)} too.", Exit.USAGE)
    known = read_joint(joint["thread"], joint["length"])
    before = float(or_refuse(parse_torque(joint["snug"])).newton_metres)
    rubbing = or_refuse(parse_friction(friction)) if friction else None
    around = AIMED_FRICTION if rubbing is None else (0.75 * rubbing, 1.25 * rubbing)
    said = [f"Each degree adds at most {force_of_angle(known, 1):.0f} N, as long as nothing yields."]
    more = (
        _by_angle(known, joint, before, around, found) if joint["angle"] else _at_torque(known, before, around, found)
    )
    return said + more[0], more[1]


def _by_angle(
    known: Joint,
    joint: Mapping[str, str],
    before: float,
    around: tuple[float, float],
    found: Mapping[str, Mapping[int, Any]],
) -> tuple[list[str], list[str]]:

    metal = or_refuse(strength_of(known.thread, joint["strength"]))
    angle = or_refuse(parse_angle(joint["angle"]))
    low, high = or_refuse(torque_band(known, metal, before, float(angle.degrees), around))
    said = f"Behind {joint['snug']} and {angle} the joint can account for {low:.0f} to {high:.0f} N·m."
    doubts = []
    for bolt, one in sorted(found.get("torque", {}).items()):
        if float(one.size) < low:
            doubts.append(
                f"Bolt {bolt} has less than the joint accounts for: stretched thread, or not all of the angle."
            )
        elif float(one.size) > high:
            doubts.append(f"Bolt {bolt} has more than the bolt can bear: rough or seized thread, or another bolt.")
    return [said], doubts


def _at_torque(
    known: Joint, before: float, around: tuple[float, float], found: Mapping[str, Mapping[int, Any]]
) -> tuple[list[str], list[str]]:

    doubts = []
    for bolt in sorted(found["torque"].keys() & found["angle"].keys()):
        torque, angle = float(found["torque"][bolt].size), float(found["angle"][bolt].size)
        low, high = or_refuse(angle_band(known, before, torque, around))
        if angle < low:
            doubts.append(f"Bolt {bolt} turned less than the joint gives way: rough or seized thread, or tight before.")
        elif angle > high:
            doubts.append(f"Bolt {bolt} turned further than the joint gives way: stretched thread, or something soft.")
    return [], doubts
