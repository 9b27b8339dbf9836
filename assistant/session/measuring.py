"""What is read off at a bolt, what is decided when it is out of limits, and that new fasteners are new."""

from __future__ import annotations

from decimal import Decimal

from assistant.events import Command
from assistant.fastening.faults import Fault
from assistant.fastening.programme import Way
from assistant.fastening.quantities import plain
from assistant.fastening.readings import Side, with_unit
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.model import TightenStep
from assistant.session import clocks, critical, moving, presenting, replies_bolts, sentences, tightening, tooling
from assistant.session.engine import Engine
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
    side = tightening.side_of(value, chunk)
    if side in (None, Side.WITHIN):
        e.say(replies_bolts.measured(bolt, value, within=side is not None))
        tightening.tightened(e, tightening.Measured(value, side))
        return
    assert side is not None
    off = OffReading(plain(value.value), value.unit.value, side.value)
    e.state.off[tightening.bolt_key(e)] = off
    step = tightening.step_of(e)
    e.record(
        "out_of_limits",
        **tightening.identity(step, chunk, bolt),
        run=chunk.run,
        reading=tooling.quantity_data(value),
        limits=tooling.limits_data(chunk),
        verdict=side.value,
    )
    e.settle()
    edge = chunk.of.low if side is Side.BELOW else chunk.of.high
    e.say(replies_bolts.off(bolt, off), *_edge(e, edge, side), sentences.DECIDE)


def _edge(e: Engine, edge: Torque | Angle | None, side: Side) -> list[str]:
    return (
        []
        if edge is None
        else [replies_bolts.edge(tooling.in_unit(e, edge, up=side is Side.BELOW), below=side is Side.BELOW)]
    )


def again(e: Engine) -> None:
    """Do the present bolt again after a reading out of limits."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    del e.state.off[tightening.bolt_key(e)]
    e.record("bolt_again", **tightening.identity(step, chunk, bolts[0]))
    e.settle()
    e.say(*presenting.present(e, whole=False))


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
    tightening.tightened(e, tightening.Measured(value, side))
    e.state.off_accepted.add(bolt)


def ask_replace(e: Engine) -> None:
    """Read back that the present bolt is to be replaced."""
    _, _, bolts, _, _ = tightening.here_of(e)
    question = replies_bolts.replace_ask(bolts[0])
    critical.ask(e, Pending("replace_bolt", question, question, {}, final=True))


def replaced(e: Engine) -> None:
    """Take the present bolt as replaced: the new one begins with the first stage of the old one."""
    step, chunk, bolts, _, _ = tightening.here_of(e)
    e.record("bolt_replaced", **tightening.identity(step, chunk, bolts[0]))
    e.say(replies_bolts.replaced(bolts[0]))
    first = e.state.at
    for at, place in enumerate(e.places[: e.state.at + 1]):
        one = place.step if isinstance(place, StepPlace) else None
        if isinstance(one, TightenStep) and _undone(e, one, chunk.group, bolts[0]):
            first = min(first, at)
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
    for place in places:
        e.state.off.pop(place, None)
        e.state.bolts_skipped.pop(place, None)
    if places:
        e.state.done.discard(step.id)
    return bool(gone)


def renewed(e: Engine) -> None:
    """Take "confirmed": the fasteners of the present group are new."""
    step, chunk, _, index, _ = tightening.here_of(e)
    group = e.groups[chunk.group]
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
