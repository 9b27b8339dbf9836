"""A joint as it is given at the desk: a thread, and the length that is clamped under a hexagon head."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.advice.clamp import parse_friction
from assistant.advice.joint import Clamped, Material, allowed_angle, allowed_torque, beyond, clamped_of
from assistant.advice.stiffness import force_of_angle
from assistant.facts.codes import Side
from assistant.fastening.inch import parse_any_thread
from assistant.fastening.units import parse_angle, parse_length, parse_torque
from assistant.terminal.exits import Exit, Refusal, or_refuse


def read_joint(thread: str, length: str, friction: str = "", parts: str = Material.STEEL.value) -> Clamped:
    """Return the joint of ``parts`` (steel, iron, aluminium, or "") under a hexagon head with a nut.

    Raises:
        Refusal: the thread, the length, the friction or the parts cannot be.
    """
    if parts and parts not in set(Material):
        raise Refusal(f"{parts!r} is nothing that is clamped: write {', '.join(Material)}, or nothing.", Exit.USAGE)
    size = or_refuse(parse_any_thread(thread))
    clamped = or_refuse(parse_length(length))
    rubbing = or_refuse(parse_friction(friction)) if friction else None
    return or_refuse(clamped_of(size, clamped, Material(parts) if parts else None, rubbing))


def joint_doubts(
    joint: Mapping[str, str], kind: tuple[str, str], found: Mapping[str, Mapping[int, Any]], accuracy: float
) -> tuple[list[str], list[str]]:
    """Return what the joint can account for, and the doubts about bolts with something else.

    With an angle that was asked for the final torques are judged; without, the angles that were reached at the torques.
    ``kind`` is the friction and what is clamped, ``accuracy`` [%] what the tool may be off.

    Raises:
        Refusal: something that is given cannot be, or lacks.
    """
    lacking = [f"--{key}" for key, text in joint.items() if not text and key != "angle"]
    if not joint["angle"] and not {"torque", "angle"} <= found.keys():
        lacking.append("--angle")
    if lacking:
        raise Refusal(f"What the joint allows needs more: give {', '.join(lacking)} too.", Exit.USAGE)
    known = read_joint(joint["thread"], joint["length"], *kind)
    before = float(or_refuse(parse_torque(joint["snug"])).newton_metres)
    said = [f"Each degree adds at most {force_of_angle(known.stiff, 1):.0f} N, as long as nothing yields."]
    more = (
        _by_angle(known, joint, before, found, accuracy)
        if joint["angle"]
        else _at_torque(known, before, found, accuracy)
    )
    return said + more[0], more[1]


def _by_angle(
    known: Clamped,
    joint: Mapping[str, str],
    before: float,
    found: Mapping[str, Mapping[int, Any]],
    accuracy: float,
) -> tuple[list[str], list[str]]:
    angle = or_refuse(parse_angle(joint["angle"]))
    band = or_refuse(allowed_torque(known, joint["strength"], before, float(angle.degrees)))
    said = f"Behind {joint['snug']} and {angle} the joint can account for {band[0]:.0f} to {band[1]:.0f} N·m."
    doubts = []
    for bolt, one in sorted(found.get("torque", {}).items()):
        side = beyond(float(one.size), band, accuracy)
        if side is Side.BELOW:
            doubts.append(
                f"Bolt {bolt} has less than the joint accounts for: stretched thread, or not all of the angle."
            )
        elif side is Side.ABOVE:
            doubts.append(f"Bolt {bolt} has more than the bolt can bear: rough or seized thread, or another bolt.")
    return [said], doubts


def _at_torque(
    known: Clamped, before: float, found: Mapping[str, Mapping[int, Any]], accuracy: float
) -> tuple[list[str], list[str]]:
    doubts = []
    for bolt in sorted(found["torque"].keys() & found["angle"].keys()):
        band = or_refuse(allowed_angle(known, before, float(found["torque"][bolt].size)))
        side = beyond(float(found["angle"][bolt].size), band, accuracy)
        if side is Side.BELOW:
            doubts.append(f"Bolt {bolt} turned less than the joint gives way: rough or seized thread, or tight before.")
        elif side is Side.ABOVE:
            doubts.append(f"Bolt {bolt} turned further than the joint gives way: stretched thread, or something soft.")
    return [], doubts
