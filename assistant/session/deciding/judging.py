"""Reading off bolts beside their target, doubting one that strikes among its neighbours, and leaving it as it is."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from assistant.advice.joint import beyond
from assistant.events import Command
from assistant.facts import Quantity
from assistant.facts.codes import Side
from assistant.facts.going import RefusedWhy
from assistant.facts.kinds.judged import AskDoubtLeft, BoltDoubted, BoltRead, DoubtLeft, JointDoubted
from assistant.fastening.quantities import Torque, as_decimal
from assistant.fastening.readings import with_unit
from assistant.faults import Fault
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import joint_allows, judging
from assistant.session.chunks import Chunk, bolt_done, bolt_key, bolt_place
from assistant.session.deciding import asking, retightening, tightening, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.reaching import bolts_here
from assistant.session.here import Here
from assistant.session.state import Bolt
from assistant.session.tools import values
from assistant.session.tools.values import as_quantity
from assistant.session.turning import Standing

_ROUNDED, _TENTH = Decimal("0.001"), Decimal("0.1")


def take_read(d: Deciding, command: Command) -> None:
    """Take what was read off at the present bolt: it is done, or only read again where it was turned before."""
    place = bolt_place(d)
    if place is None:
        d.refuse(RefusedWhy.BOLTS_DONE)
    elif place[0].within.read is None:
        d.refuse(RefusedWhy.NOTHING_TO_READ)
    elif not timers.too_late(d):
        _read(d, command.number or Decimal(0))


def _read(d: Deciding, number: Decimal) -> None:
    step, chunk, bolts, index, offset = bolts_here(d)
    value = with_unit(number, judging.unit_to_read(d, step, chunk))
    quantity = None if isinstance(value, Fault) else as_quantity(value)
    if quantity is None or number <= 0 or chunk.within.read is None:
        d.refuse(RefusedWhy.NOTHING_TO_READ)
        return
    before = d.state.read.get(bolt_key(d.job, step.id, index, offset))
    key, again = bolt_key(d.job, step.id, index, offset), d.base == Standing.TURNED
    d.put(
        BoltRead(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            run=chunk.run,
            group=chunk.group,
            bolt=bolts[0],
            what=chunk.within.read,
            reading=quantity,
            repeated=again or bolt_done(d, step, index, offset),
        )
    )
    first = values.value_of(before) if before is not None else None
    retightening.compare_again(
        d, step, chunk, key[3], values.value_of(quantity), first if isinstance(first, Torque) else None
    )
    _judge(d, chunk, key)
    if again:
        tightening.pass_on(d, Command("next"))
    else:
        tightening.tightened(d, None)


def without_reading(d: Deciding, command: Command) -> None:
    """Take "next": the bolt is done, and nothing was read off at it."""
    place = bolt_place(d)
    if place is not None and not timers.too_late(d):
        chunk, _, index, offset = place
        _judge(d, chunk, bolt_key(d.job, bolts_here(d).step.id, index, offset))
        tightening.tightened(d, None)
    elif place is None:
        tightening.take_as_tight(d, command)


def _judge(d: Deciding, chunk: Chunk, present: Bolt) -> None:
    """Doubt what strikes: the present bolt as soon as it has enough neighbours, all of them once the pass is read."""
    step = bolts_here(d).step
    _by_joint(d, step, chunk, present)
    found = judging.neighbours(d, step, chunk)
    if found is None:
        return
    complete = judging.all_read(d, step, chunk, present)
    for strike in found.scatter.strikes:
        key = next(bolt for bolt in found.read if bolt[3] == strike.bolt)
        known = d.state.doubts.get(key)
        if (known and known.by_neighbours) or key in d.state.doubts_left or not (complete or key == present):
            continue
        assert chunk.within.read is not None
        d.put(
            BoltDoubted(
                step=step.id,
                stage=chunk.stage,
                turn=chunk.turn,
                run=key[2],
                group=chunk.group,
                bolt=strike.bolt,
                what=chunk.within.read,
                side=strike.side,
                reading=found.read[key],
                median=_quantity(found.scatter.median, found.unit.value),
                mad=_quantity(found.scatter.mad, found.unit.value),
                number=found.scatter.number,
                score=as_decimal(strike.score).quantize(_ROUNDED),
            )
        )


def _by_joint(d: Deciding, step: TightenStep, chunk: Chunk, present: Bolt) -> None:
    """Doubt the present bolt when its joint cannot account for what was read off at it."""
    reading, what = d.state.read.get(present), chunk.within.read
    allows = joint_allows.allowed(d, step, chunk, present[3]) if reading is not None and what is not None else None
    known = d.state.doubts.get(present)
    told = present in d.state.doubts_left or (known is not None and known.least is not None)
    if reading is None or what is None or allows is None or told:
        return
    value, accuracy = values.value_of(reading), joint_allows.class_of_tool(d, step, chunk)
    # Torques are worked out in newton metres, and angles in degrees; the fact has them as they were read off.
    one = float(value.newton_metres if isinstance(value, Torque) else value.degrees)
    side = beyond(one, (allows.least, allows.most), float(accuracy))
    if side is Side.WITHIN:
        return
    scale = float(reading.value) / one
    group, joint = d.job.groups[chunk.group], allows.joint
    assert group.clamp_length is not None
    d.put(
        JointDoubted(
            step=step.id,
            stage=chunk.stage,
            turn=chunk.turn,
            run=present[2],
            group=chunk.group,
            bolt=present[3],
            what=what,
            side=side,
            reading=reading,
            least=_quantity(Fraction(allows.least * scale), reading.unit, _TENTH),
            most=_quantity(Fraction(allows.most * scale), reading.unit, _TENTH),
            before=Quantity(allows.before.value, allows.before.unit.value),
            turned=as_quantity(allows.turned),
            clamp_length=Quantity(group.clamp_length.value, group.clamp_length.unit.value),
            clamped=group.clamped.value if group.clamped else "",
            least_friction=Decimal(joint.friction[0]).quantize(_ROUNDED).normalize(),
            most_friction=Decimal(joint.friction[1]).quantize(_ROUNDED).normalize(),
            accuracy=accuracy,
        )
    )


def _quantity(value: Fraction, unit: str, to: Decimal = _ROUNDED) -> Quantity:
    return Quantity(as_decimal(value).quantize(to).normalize() + 0, unit)


def doubt_of(here: Here, group: str, bolt: int) -> Bolt | None:
    """Return the key of a bolt of ``group`` that is doubted; None where it is not."""
    doubts = here.state.doubts.items()
    return next((key for key, doubt in doubts if (doubt.group, key[3]) == (group, bolt)), None)


def ask_doubt_left(d: Deciding, bolt: int) -> bool:
    """Ask why a doubted bolt is left as it is; return whether one of that number is doubted."""
    key = next((key for key in d.state.doubts if key[3] == bolt), None)
    if key is None:
        return False
    asking.demand_reason(d, AskDoubtLeft(d.state.doubts[key].group, bolt))
    return True


def _left(d: Deciding, question: AskDoubtLeft, reason: str) -> None:
    key = doubt_of(d, question.group, question.bolt)
    if key is not None:
        d.put(DoubtLeft(step=key[0], turn=key[1], run=key[2], group=question.group, bolt=question.bolt, reason=reason))


add_grant(
    AskDoubtLeft,
    _left,
    passes=False,
    stands=lambda here, question: doubt_of(here, question.group, question.bolt) is not None,
)
