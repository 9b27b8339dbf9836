"""The packs of shims of a job: what is proposed from a reading, and which pack the next reading counts from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from assistant.advice.packs import (
    CHANGED,
    Pack,
    in_play,
    is_length,
    out_play,
    out_uncertainty,
    work_out_pack,
    work_out_play,
)
from assistant.advice.thickness import grains_in, length_grains, length_unit
from assistant.advice.uncertainty import gauge_uncertainty
from assistant.facts import Bounds, Quantity
from assistant.facts.codes import PackWay
from assistant.facts.packs import PackPutIn, PackWorkedOut
from assistant.fastening.quantities import LengthUnit
from assistant.faults import Fault
from assistant.procedure.packs import PackStock
from assistant.procedure.rows import slug
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.do import DoStep
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.shim_box import found_first, grains_read, in_hand


def work_out_packs(d: Deciding, step: CheckStep, reading: Quantity) -> None:
    """Work out the pack that ``reading`` asks for, where ``step`` has one."""
    wanted = None if step.pack is None else step.pack.wanted or step.limits
    if step.pack is None or wanted is None or wanted.low is None or wanted.high is None:
        return
    stock, unit = step.pack, wanted.unit
    play = work_out_play((reading.value, reading.unit), (wanted.low, wanted.high, unit), stock.ratio)
    if isinstance(play, Fault):
        return
    present, counted = _present(d, stock)
    gauge, assumed = _gauge(stock, reading.unit, unit)
    guard = play.uncertainty(CHANGED, gauge, _thickness(stock))
    found = work_out_pack(play, present, _stock(d, stock, present), guard)
    left = play.measured if isinstance(found, Fault) else found.expected
    moved = 0 if isinstance(found, Fault) else len(found.out) + len(found.new)
    sure = play.uncertainty(moved, gauge, _thickness(stock))
    way, off = _way(found), min(Fraction(0), left - play.low) + max(Fraction(0), left - play.high)
    shims = (present, (), ()) if isinstance(found, Fault) else (found.shims, found.out, found.new)
    d.put(
        PackWorkedOut(
            step=step.id,
            pack=stock.id,
            reading=reading,
            wanted=Bounds(wanted.low, wanted.high),
            way=way,
            unit=stock.shims.unit.value,
            present=_sizes(stock, present),
            counted=counted,
            shims=_sizes(stock, shims[0]),
            out=_sizes(stock, shims[1]),
            new=_sizes(stock, shims[2]),
            expected=Quantity(out_play(left, unit), unit),
            off=Quantity(out_play(off, unit), unit),
            uncertainty=Quantity(out_uncertainty(sure, unit), unit),
            assumed=assumed,
            near=way in (PackWay.KEEP, PackWay.CHANGE) and play.near_limit(left, sure),
        )
    )


def _way(found: Pack | Fault) -> PackWay:
    if isinstance(found, Fault):
        return PackWay.NONE
    if not found.reaches:
        return PackWay.NEAREST
    return PackWay.CHANGE if found.out or found.new else PackWay.KEEP


def _present(here: Here, stock: PackStock) -> tuple[tuple[int, ...], bool]:
    """Return the shims [grains] that are in, and whether they were put in during this job."""
    put_in = here.state.packs.put_in.get(stock.id)
    if put_in is None:
        return found_first(here, stock), False
    sizes = (grains_read(Quantity(one, put_in.unit)) for one in put_in.shims)
    return tuple(size for size in sizes if size), True


def _stock(here: Here, stock: PackStock, present: Sequence[int]) -> Counter[int]:
    """Return how many shims [count] of each size [grains] are in hand: what came out of the first pack as well."""
    fitted = Counter(found_first(here, stock))
    return in_hand(here, stock.kind, stock.shims, stock.id) + fitted - Counter(present)


def _gauge(stock: PackStock, read_in: str, unit: str) -> tuple[Fraction, bool]:
    """Return the uncertainty of the reading [as a play in ``unit``], and whether it is assumed."""
    if stock.gauge is not None:
        return in_play(stock.gauge.value, stock.gauge.unit, unit) or Fraction(0), False
    if not is_length(unit):
        return Fraction(0), False
    assumed = gauge_uncertainty("", length_unit(read_in) or LengthUnit.MILLIMETRE)
    return Fraction(0 if isinstance(assumed, Fault) else assumed.grains), True


def _thickness(stock: PackStock) -> int:
    """Return the uncertainty of the thickness of a shim [grains]; 0 where none is given."""
    grains = 0 if stock.shim_gauge is None else length_grains(stock.shim_gauge)
    return 0 if isinstance(grains, Fault) else grains


def _sizes(stock: PackStock, shims: Sequence[int]) -> tuple[Decimal, ...]:
    return tuple(grains_in(one, stock.shims.unit.value) for one in sorted(shims, reverse=True))


# What is proposed, and what is put in


def pack_steps(here: Here) -> dict[str, CheckStep]:
    """Return the first step with a pack for each id of what has one, in the order of the work."""
    found: dict[str, CheckStep] = {}
    for step in here.job.steps_of(CheckStep):
        if step.pack is not None:
            found.setdefault(step.pack.id, step)
    return found


def put_in(d: Deciding, step: DoStep) -> None:
    """Put down that the packs are in that ``step`` puts in, where another one was proposed."""
    for name in map(slug, step.shim_for):
        one = d.state.packs.worked_out.get(name)
        if one is not None and one.way is PackWay.CHANGE and (one.out or one.new):
            before = d.state.packs.put_in.get(name)
            if before is None or before.shims != one.shims:
                d.put(PackPutIn(step=step.id, pack=name, unit=one.unit, shims=one.shims))
