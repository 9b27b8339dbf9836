"""What is read off at a bolt, what is decided when it is out of limits, and that new fasteners are new."""

from __future__ import annotations

from decimal import Decimal

from assistant.events import Command
from assistant.fastening.programme import Way
from assistant.fastening.quantities import plain
from assistant.fastening.readings import Side, with_unit
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.faults import Fault
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import (
    clocks,
    critical,
    moving,
    presenting,
    reading_limits,
    replies_bolts,
    sentences,
    tightening,
    tooling,
)
from assistant.session.engine import Engine, text_of
from assistant.session.places import Chunk, StepPlace
from assistant.session.state import OffReading, Pending

UNITS = {
    "newton_metres": TorqueUnit.NEWTON_METRE,
    "pound_feet": TorqueUnit.POUND_FOOT,
    "pound_inches": TorqueUnit.POUND_INCH,
}
"""Unit by the intent that asks for it."""


def reading(e: Engine, command: Command) -> None:
    """Take a value that was read off at the present bolt; it is done when the value is within its limits."""
    here = e.bolt_place()
    if here is None:
        e.say(sentences.BOLTS_DONE)
        return
    chunk, bolts, _, _ = here
    if chunk.way is Way.LOOSEN:
        e.say(sentences.NOTHING_TO_READ)
    elif len(bolts) > 1 and e.base != "out_of_limits":
        e.say(sentences.ONE_READING)
    elif not clocks.too_late(e):
        _taken(e, chunk, bolts[0], command.number if command.number is not None else Decimal(0))


def _taken(e: Engine, chunk: Chunk, bolt: int, number: Decimal) -> None:
    value = with_unit(number, tooling.reading_unit(e, chunk) or AngleUnit.DEGREE)
    if isinstance(value, Fault):
        e.say(sentences.NOTHING_TO_READ)  # the grammar has no such number
        return
    side = reading_limits.side_of(e, value, chunk)
    tolerance = reading_limits.tolerance_of(e, chunk)
    if side in (None, Side.WITHIN):
        general = chunk.of.low is None and chunk.of.high is None
        choice = tooling.choice_at(e)
        apart = choice is not None and not tooling.is_plain(e, chunk, choice)
        e.say(replies_bolts.measured(bolt, value, within=side is not None, general=general, at_bolt=apart))
        tightening.tightened(e, tightening.Measured(value, side, tolerance))
        return
    assert side is not None
    off = OffReading(plain(value.value), value.unit.value, side.value)
    e.state.off[tightening.bolt_key(e)] = off
    step = tightening.step_of(e)
    more = {"tolerance": text_of(tolerance)} if e.rules >= 3 else {}
    e.record(
        "out_of_limits",
        **tightening.identity(step, chunk, bolt),
        run=chunk.run,
        reading=tooling.quantity_data(value),
        limits=tooling.limits_data(chunk),
        verdict=side.value,
        **more,
    )
    e.settle()
    e.say(*presenting.off_words(e))


def again(e: Engine) -> None:
    """Do the present bolts again: after a reading out of limits, or when they were loosened after a further angle."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    if e.rules >= 3 and chunk.way is Way.ANGLE:
        question = replies_bolts.loosened_ask(bolts)
        critical.ask(e, Pending("loosened", question, question, {}, final=True))
        return
    del e.state.off[tightening.bolt_key(e)]
    e.record("bolt_again", **tightening.identity(step, chunk, bolts[0]))
    e.settle()
    e.say(*presenting.present(e, whole=False))


def loosened(e: Engine) -> None:
    """Take the present bolts as loosened: they begin again with their first stage, and new if they are used once."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    e.record("bolts_loosened", **{**tightening.identity(step, chunk, bolts[0]), "bolts": list(bolts)})
    if e.groups[chunk.group].single_use:
        e.state.worn |= {(chunk.group, bolt) for bolt in bolts}
    _from_first_stage(e, step, chunk, bolts)


def ask_why(e: Engine) -> None:
    """Ask for the words with which a reading out of limits is put down as it is."""
    _, _, bolts, _, _ = tightening.here_of(e)
    value = _off_value(e)
    critical.demand_reason(e, "accept_bolt_reading", replies_bolts.accept_bolt(bolts[0], value), [])


def _off_value(e: Engine) -> Torque | Angle:
    off = e.state.off[tightening.bolt_key(e)]
    number = Decimal(off.value)
    return Angle(number, AngleUnit.DEGREE) if off.unit == AngleUnit.DEGREE else Torque(number, TorqueUnit(off.unit))


def accept(e: Engine, pending: Pending) -> None:
    """Put a reading out of limits down as it is, for a reason, and go on."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    value = _off_value(e)
    side = Side(e.state.off[tightening.bolt_key(e)].side)
    data = tooling.quantity_data(value) or {}
    e.record(
        "deviation",
        **tightening.identity(step, chunk, bolts[0]),
        what="bolt_reading",
        value=data["value"],
        unit=data["unit"],
        reason=pending.reason,
    )
    e.state.deviations.add(step.id)
    bolt = tightening.bolt_key(e)
    tightening.tightened(e, tightening.Measured(value, side, reading_limits.tolerance_of(e, chunk)))
    e.state.off_accepted.add(bolt)


def ask_replace(e: Engine) -> None:
    """Read back that the present bolt is to be replaced."""
    _, _, bolts, _, _ = tightening.here_of(e)
    if len(bolts) > 1:
        e.say(sentences.REPLACE_ONE)
        return
    question = replies_bolts.replace_ask(bolts[0])
    critical.ask(e, Pending("replace_bolt", question, question, {}, final=True))


def replaced(e: Engine) -> None:
    """Take the present bolt as replaced: the new one begins with the first stage of the old one."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    e.record("bolt_replaced", **tightening.identity(step, chunk, bolts[0]))
    e.state.worn.discard((chunk.group, bolts[0]))
    e.say(replies_bolts.replaced(bolts[0]))
    _from_first_stage(e, step, chunk, bolts[:1])


def _from_first_stage(e: Engine, step: TightenStep, chunk: Chunk, bolts: tuple[int, ...]) -> None:
    """Take back what ``bolts`` had got, and go to the first stage that they went through."""
    first = e.state.at
    for at, place in enumerate(e.places[: e.state.at + 1]):
        one = place.step if isinstance(place, StepPlace) else None
        if isinstance(one, TightenStep):
            gone = [_undone(e, one, chunk.group, bolt) for bolt in bolts]
            first = min(first, at) if any(gone) else first
    if first != e.state.at:
        moving.arrive(e, first)
        return
    e.state.pointers[step.id] = moving.front(e, step)
    e.settle()
    e.say(*presenting.present(e, whole=True))


def _undone(e: Engine, step: TightenStep, group: str, bolt: int) -> bool:
    """Take back what a bolt had got in ``step``, unless that step only slackens; return whether there was anything."""
    chunks = e.chunks[step.id]
    if all(chunk.way is Way.LOOSEN for chunk in chunks):
        return False
    places = {
        (step.id, index, chunk.bolts.index(bolt))
        for index, chunk in enumerate(chunks)
        if chunk.group == group and bolt in chunk.bolts
    }
    gone = places & e.state.bolts
    e.state.bolts -= places
    e.state.off_accepted -= places
    e.state.turned -= places
    for place in places:
        e.state.off.pop(place, None)
        e.state.bolts_skipped.pop(place, None)
    if places:
        e.state.done.discard(step.id)
    return bool(gone)


def renewed(e: Engine) -> None:
    """Take "confirmed": the fasteners of the present group are new, or those in the place of loosened ones."""
    step, chunk, present, index, _ = tightening.here_of(e)
    group = e.groups[chunk.group]
    worn = [bolt for bolt in present if (group.id, bolt) in e.state.worn]
    if worn:
        bolts = sorted(worn)
        e.state.worn -= {(group.id, bolt) for bolt in worn}
    else:
        e.state.renewed.add((step.id, group.id))
        bolts = sorted({bolt for one in e.chunks[step.id] if one.group == group.id for bolt in one.bolts})
    e.record("new_confirmed", step=step.id, group=group.id, bolts=bolts)
    e.settle()
    e.say(*presenting.present(e, whole=index == 0 or e.chunks[step.id][index - 1].turn != chunk.turn))


def choose_unit(e: Engine, unit: TorqueUnit) -> None:
    """Say torque values, and take readings, in ``unit`` from now on; the stage gets its tools by it."""
    e.state.unit = unit
    e.state.planned.clear()
    e.record("unit_chosen", unit=unit.value)
    e.say(replies_bolts.unit_from_now(unit))
    step = e.step
    if isinstance(step, TightenStep) and e.unread is None and e.bolt_place() is not None:
        e.say(*presenting.present(e, whole=False, anew=True))
    elif moving.torque_check(e):
        moving.announce(e)
