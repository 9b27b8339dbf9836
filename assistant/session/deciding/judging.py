"""Reading off bolts beside their target, doubting one that strikes among its neighbours, and leaving it as it is."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from assistant.events import Command
from assistant.facts import Quantity
from assistant.facts.going import RefusedWhy
from assistant.facts.kinds.judged import AskDoubtLeft, BoltDoubted, BoltRead, DoubtLeft
from assistant.fastening.quantities import as_decimal
from assistant.fastening.readings import with_unit
from assistant.faults import Fault
from assistant.session import judging
from assistant.session.chunks import Chunk, bolt_done, bolt_key, bolt_place
from assistant.session.deciding import asking, tightening, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.reaching import bolts_here
from assistant.session.here import Here
from assistant.session.state import Bolt
from assistant.session.tools.values import as_quantity
from assistant.session.turning import Standing

_ROUNDED = Decimal("0.001")


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
    found = judging.neighbours(d, step, chunk)
    if found is None:
        return
    complete = judging.all_read(d, step, chunk, present)
    for strike in found.scatter.strikes:
        key = next(bolt for bolt in found.read if bolt[3] == strike.bolt)
        if key in d.state.doubts or key in d.state.doubts_left or not (complete or key == present):
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


def _quantity(value: Fraction, unit: str) -> Quantity:
    return Quantity(as_decimal(value).quantize(_ROUNDED).normalize() + 0, unit)


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
