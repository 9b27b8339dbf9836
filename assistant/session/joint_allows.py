"""What the joint of a bolt can account for, by the programme that the bolt went through, and the class of the tool."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.advice.joint import Clamped, allowed_angle, allowed_torque, bolt_clamped
from assistant.facts.codes import ReadAt, Way
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.fastening.readings import USUAL_CLASS
from assistant.faults import Fault
from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.here import Here
from assistant.session.tools.chosen import stage_tools

_NO_ANGLE, _NO_TORQUE = Angle(Decimal(0), AngleUnit.DEGREE), Torque(Decimal(0), TorqueUnit.NEWTON_METRE)


@dataclass(frozen=True, slots=True)
class Allowed:
    """From ``least`` to ``most`` [N·m or °] the ``joint`` can account for, from torque ``before`` on, when ``turned``.

    ``turned`` is None where the angle is what is read off.
    """

    least: float
    most: float
    joint: Clamped
    before: Torque
    turned: Angle | None


@dataclass(frozen=True, slots=True)
class BoltCourse:
    """What a bolt got since it was loose: the last torque, None for none, the angle behind it, and the drag in both."""

    torque: Torque | None = None
    angle: Angle = _NO_ANGLE
    drag: Torque = _NO_TORQUE

    def behind(self, chunk: Chunk) -> BoltCourse:
        """Return what it is behind ``chunk``."""
        drag = chunk.of.drag or self.drag
        match chunk.way, chunk.target:
            case Way.TORQUE, Torque() as target:
                return BoltCourse(target, drag=drag)
            case Way.ANGLE, Angle() as target:
                total = self.angle.degrees + target.degrees
                return replace(self, angle=Angle(Decimal(total.numerator) / total.denominator, AngleUnit.DEGREE))
            case Way.LOOSEN, _:
                return BoltCourse()
        return self


def bolt_course(here: Here, step: TightenStep, chunk: Chunk, bolt: int) -> BoltCourse:
    """Return what a bolt had got before ``chunk``, by what was done to it and not only written."""
    course = BoltCourse()
    steps = here.job.steps_of(TightenStep)
    for one in steps[: steps.index(step) + 1]:
        for taken in chunks_in(here.job, one.id):
            before = one is not step or taken.turn < chunk.turn
            if before and taken.group == chunk.group and (one.id, taken.turn, taken.run, bolt) in here.state.bolts:
                course = course.behind(taken)
    return course


def allowed(here: Here, step: TightenStep, chunk: Chunk, bolt: int) -> Allowed | None:
    """Return what the joint of ``bolt`` can account for in what is read off at ``chunk``.

    None where the procedure does not give the joint, or the bolt had no torque from which it was taken on.
    """
    group, course = here.job.groups[chunk.group], bolt_course(here, step, chunk, bolt)
    joint = _joint(group)
    if joint is None or course.torque is None:
        return None
    start, drag = float(course.torque.newton_metres), float((chunk.of.drag or course.drag).newton_metres)
    if chunk.within.read is ReadAt.TORQUE:
        turned = course.behind(chunk).angle
        torques = allowed_torque(joint, group.strength, start, float(turned.degrees))
        # A self-locking thread is read off too: the high end gets its torque, the low one is as it is without.
        return (
            None if isinstance(torques, Fault) else Allowed(torques[0], torques[1] + drag, joint, course.torque, turned)
        )
    if course.angle.size or not isinstance(chunk.target, Torque):
        return None  # behind an angle nobody knows the torque from which the bolt is taken on
    angles = allowed_angle(joint, start, float(chunk.target.newton_metres))
    return None if isinstance(angles, Fault) else Allowed(*angles, joint, course.torque, None)


def _joint(group: Group) -> Clamped | None:
    if group.clamp_length is None or not group.thread or not group.strength:
        return None
    friction = None if group.friction is None else float(group.friction)
    joint = bolt_clamped(group.thread, group.clamp_length, group.clamped, friction)
    return None if isinstance(joint, Fault) else joint


def class_of_tool(here: Here, step: TightenStep, chunk: Chunk) -> Decimal:
    """Return how far what bolts of ``chunk`` are read off with may be off [%].

    It is the wrench that is named for them, else that which their torque was done with, by the tool file; the usual
    class where that is not known.
    """
    wrenches = {one.id: one for one in here.box.wrenches} if here.box else {}
    if chunk.tool in wrenches:
        return wrenches[chunk.tool].accuracy
    chunks = chunks_in(here.job, step.id)
    done = [
        (index, one)
        for index, one in enumerate(chunks)
        if one.group == chunk.group and one.turn <= chunk.turn and one.way is Way.TORQUE
    ]
    for index, one in reversed(done):
        tools = stage_tools(here, step, one.turn)
        choice = tools.choices.get(index) if tools else None
        if choice is not None:
            return choice.accuracy.quantize(Decimal("0.1"))
    return USUAL_CLASS
