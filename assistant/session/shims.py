"""The shims of the tables of a job: which reading is of which valve, what is worked out of them, and what was told.

It is worked out as soon as all that it needs is read off, and again when one of those readings is another.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from assistant.advice.shims import ShimChoice, Valve, impossible, work_out_shims
from assistant.advice.thickness import grains_in, length_grains, length_unit
from assistant.advice.uncertainty import gauge_uncertainty
from assistant.events import Command
from assistant.facts import Bounds, Quantity
from assistant.facts.codes import ShimWay
from assistant.facts.kinds.measure import CellAt
from assistant.facts.shims import ShimProposal, ShimsWorkedOut, ShimTold
from assistant.facts.taking_back import Reopened
from assistant.fastening.quantities import LengthUnit
from assistant.faults import Fault
from assistant.procedure.rows import ShimStock, TableColumn
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells
from assistant.session.cells import CellSpot, at_of
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.shim_box import grains_read, in_hand
from assistant.session.valves import ValveSpots, keeps_shim, valves_of


def stock_for(here: Here, step: MeasureStep, column: TableColumn) -> ShimStock | None:
    """Return the shims among which that of ``column`` is: those of its table, or of one that has the same clearance."""
    if not column.shim_for:
        return None
    if step.shims is not None:
        return step.shims
    tables = (one for one in here.job.steps_of(MeasureStep) if one.shims is not None)
    named = (one.shims for one in tables if any(each.shim_for == column.shim_for for each in one.columns))
    return next(named, None)


def is_no_size(here: Here, step: MeasureStep, spot: CellSpot, value: Decimal, unit: str) -> bool:
    """Return whether ``value`` [``unit``] is read off as a shim, and none of that size can be had."""
    stock = stock_for(here, step, spot[1])
    if stock is None:
        return False
    hand = in_hand(here, stock.kind, stock.box, step.id)
    return grains_read(Quantity(value, unit)) not in {*stock.sizes.sizes, *hand}


# Working out


def work_out(d: Deciding, step: MeasureStep) -> None:
    """Work out the shims of each table that takes readings of ``step``, where all that it needs is there."""
    for table in d.job.steps_of(MeasureStep):
        if table.shims is None:
            continue
        valves = valves_of(d, table)
        steps = list(dict.fromkeys(one.id for valve in valves for one in (valve.step, valve.shim_step)))
        if step.id not in steps:
            continue
        if not any(_is_open(d, valve) for valve in valves):
            d.put(_worked_out(d, table, table.shims, valves, steps))
        elif table.id in d.state.done:  # a clearance that was right is not any more: its shim has to be read off
            d.put(Reopened(place=table.id))


def _is_open(here: Here, valve: ValveSpots) -> bool:
    spots = ((valve.step, valve.clearance), (valve.shim_step, valve.shim))
    state = here.state
    return not keeps_shim(here, valve) and any(
        cells.key_of(step, spot) not in state.cells and cells.key_of(step, spot) not in state.cells_left_out
        for step, spot in spots
    )


def _worked_out(
    d: Deciding, table: MeasureStep, stock: ShimStock, valves: list[ValveSpots], steps: list[str]
) -> ShimsWorkedOut:
    read = {at_of(one.clearance): _read(d, one) for one in valves}
    able = {at: valve for at, valve in read.items() if valve is not None and impossible(valve[0]) is None}
    hand = sorted(in_hand(d, stock.kind, stock.box, table.id).elements())
    plan = work_out_shims([one for one, _, _ in able.values()], hand, stock.sizes.sizes)
    if isinstance(plan, Fault):
        raise RuntimeError(plan.sentence)  # noqa: TRY004 - each valve was looked at, and a table has no more of them
    unit = next((clearance.unit for _, clearance, _ in able.values()), LengthUnit.MILLIMETRE.value)
    gauge = gauge_uncertainty(str(stock.gauge) if stock.gauge else "", length_unit(unit) or LengthUnit.MILLIMETRE)
    sure = (0 if isinstance(gauge, Fault) else gauge.grains), _thickness(stock)
    where = {id(valve): at for at, (valve, _, _) in able.items()}
    return ShimsWorkedOut(
        step=table.id,
        steps=tuple(steps),
        proposals=tuple(
            _proposal(one, at, able[at][1], able[at][2], where, sure)
            for at, one in zip(able, plan.choices, strict=True)
        ),
        gauge=_quantity(sure[0], unit),
        assumed=stock.gauge is None,
        thickness=None if stock.shim_gauge is None else Quantity(stock.shim_gauge.value, stock.shim_gauge.unit.value),
        without=tuple(
            at_of(one.clearance) for one in valves if at_of(one.clearance) not in able and not keeps_shim(d, one)
        ),
    )


def _read(here: Here, of: ValveSpots) -> tuple[Valve, Quantity, Quantity] | None:
    """Return a valve with its readings; None where one was left out, or is no length."""
    clearance, fitted = cells.value_at(here, of.step, of.clearance), cells.value_at(here, of.shim_step, of.shim)
    limits = of.clearance[1].limits
    if clearance is None or fitted is None or limits.low is None or limits.high is None:
        return None
    values = [
        grains_read(one)
        for one in (
            clearance.reading, fitted.reading, Quantity(limits.low, limits.unit), Quantity(limits.high, limits.unit)
        )
    ]  # fmt: skip
    if any(one is None for one in values):
        return None
    name = f"{of.clearance[0].id} {of.clearance[1].id}"
    return Valve(name, *(one or 0 for one in values)), clearance.reading, fitted.reading


def _thickness(stock: ShimStock) -> int:
    """Return the uncertainty of the thickness of a shim [grains]; 0 where none is given."""
    grains = 0 if stock.shim_gauge is None else length_grains(stock.shim_gauge)
    return 0 if isinstance(grains, Fault) else grains


def _quantity(grains: int, unit: str) -> Quantity:
    return Quantity(grains_in(grains, unit), unit)


def _proposal(
    one: ShimChoice, at: CellAt, clearance: Quantity, fitted: Quantity, where: dict[int, CellAt], sure: tuple[int, int]
) -> ShimProposal:
    unit, valve = clearance.unit, one.valve
    return ShimProposal(
        at=at,
        clearance=clearance,
        limits=Bounds(grains_in(valve.low, unit), grains_in(valve.high, unit)),
        fitted=fitted,
        way=one.way,
        shim=_quantity(one.size, fitted.unit),
        expected=_quantity(one.expected, unit),
        off=_quantity(valve.off_band(one.size), unit),
        source=None if one.source is None else where[id(one.source)],
        near=one.way is not ShimWay.NONE and valve.near_limit(one.size, valve.uncertainty(one.size, *sure)),
    )


# What is proposed, and telling one after the other


def proposals(here: Here) -> Iterator[tuple[str, ShimProposal]]:
    """Yield every proposal that holds, with the step of its table, table by table."""
    for table in here.job.steps_of(MeasureStep):
        if (worked := here.state.shims.get(table.id)) is not None:
            yield from ((table.id, one) for one in worked.proposals)


def proposal_for(here: Here, row: str, clearance: str) -> ShimProposal | None:
    """Return what is proposed for the valve in ``row`` (id) whose clearance has the name ``clearance``."""
    for name, one in proposals(here):
        spot = spot_at(here, name, one.at)
        if spot is not None and spot[0].id == row and spot[1].name == clearance:
            return one
    return None


def spot_at(here: Here, table: str, at: CellAt) -> CellSpot | None:
    """Return the place of a clearance of the shim table with the id ``table``."""
    for step in here.job.steps_of(MeasureStep):
        if step.id == table:
            spots = (one.clearance for one in valves_of(here, step))
            return next((spot for spot in spots if at_of(spot) == at), None)
    return None


def next_shim(d: Deciding, _: Command) -> None:
    """Tell the next proposal of a valve that does not keep its shim, in the order of the work."""
    rest = [(name, one) for name, one in proposals(d) if one.way is not ShimWay.KEEP]
    keys = [(name, one.at.row, one.at.column) for name, one in rest]
    at = d.state.at_shim
    behind = rest[keys.index(at) + 1 :] if at in keys else rest
    if behind:
        d.put(ShimTold(step=behind[0][0], at=behind[0][1].at))
    else:
        d.put(ShimTold(step=next((name for name, _ in proposals(d)), ""), at=None))
