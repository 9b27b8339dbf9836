"""Choosing the tools of a pass of a stage: the one that the procedure names where it can do it, else the best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import groupby, pairwise

from assistant.facts.codes import Way, Why
from assistant.fastening.calibration import calibration_day
from assistant.fastening.choice import Choice, Need
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Angle, Torque, TorqueUnit
from assistant.fastening.tool_plan import Plan, plan, warnings_of
from assistant.fastening.tools import Adapter, AngleGauge, ToolBox, TorqueWrench
from assistant.procedure.steps.tighten import Reach, TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.here import Here
from assistant.session.state import Planned
from assistant.session.tools import named

CLICKS = (Way.TORQUE, Way.CHECK)
"""What is done with a torque wrench."""
_NO_GAUGE = Unfit(
    "There is no angle gauge in the tool box", "mark the bolts, or add a gauge to the tools", Why.NO_GAUGE
)


@dataclass(frozen=True, slots=True)
class StageTools:
    """Tools of one pass: ``choices`` by index of the chunk, and what must be said before the first bolt."""

    choices: dict[int, Choice | None]
    gauge: AngleGauge | None
    faults: tuple[Unfit, ...]
    warnings: tuple[Unfit, ...]
    changes: int
    leads: Mapping[int, tuple[named.Lead, ...]]
    """By index of the chunk: what is said before its numbers, because the named tool is not used as it stands there."""
    warned: Mapping[int, tuple[Unfit, ...]] = field(default_factory=dict)
    """The ``warnings``, by index of the chunk whose tools they are about."""


def plan_stage(here: Here, step: TightenStep, turn: int, planned: Planned) -> StageTools:
    """Return the tools of pass ``turn`` of ``step``, chosen by what ``planned`` holds."""
    box = (here.box or ToolBox()).with_clicks(dict(planned.clicks))
    day = calibration_day(planned.day * 86_400_000)
    chunks = [(index, one) for index, one in enumerate(chunks_in(here.job, step.id)) if one.turn == turn]
    way = chunks[0][1].way
    if way not in CLICKS:
        gauge = box.gauge() if way is Way.ANGLE else None
        faults = (_NO_GAUGE,) if way is Way.ANGLE and gauge is None else ()
        return StageTools({}, gauge, faults, (), 0, {})
    made = [
        _plan_some(here, step, list(some), planned, box, day)
        for _, some in groupby(chunks, key=lambda one: one[1].tool)
    ]
    return made[0] if len(made) == 1 else _joined(made)


def _joined(made: Sequence[StageTools]) -> StageTools:
    """Return the tools of a pass of which parts are done with tools of their own."""
    choices = {index: choice for one in made for index, choice in one.choices.items()}
    used = [choice.tools for choice in choices.values() if choice is not None]
    return StageTools(
        choices,
        None,
        tuple(dict.fromkeys(fault for one in made for fault in one.faults)),
        tuple(dict.fromkeys(fault for one in made for fault in one.warnings)),
        sum(first != second for first, second in pairwise(used)),
        {index: leads for one in made for index, leads in one.leads.items()},
        {index: told for one in made for index, told in one.warned.items()},
    )


def _plan_some(
    here: Here, step: TightenStep, chunks: Sequence[tuple[int, Chunk]], planned: Planned, box: ToolBox, day: date
) -> StageTools:
    """Return the tools of ``chunks``, for which one and the same tool is named, or none."""
    first = chunks[0][1]
    lead = named.no_ratio(here, step, first)
    if lead is not None:
        fault = lead.why or Unfit(
            f"The {lead.name} is not in the tool box", "read its ratio off its plate and add it to the tools",
            Why.NOT_IN_FILE, lead.tool, name=lead.name,
        )  # fmt: skip
        nothing = dict.fromkeys((index for index, _ in chunks), None)
        return StageTools(nothing, None, (fault,), (), 0, dict.fromkeys(nothing, (lead,)))
    unit = TorqueUnit(planned.unit) if planned.unit else None
    box, names = _with_reaches(box, [one for _, one in chunks])
    needs = [_need(one, unit, names) for _, one in chunks for _ in one.bolts]
    wanted = _in_hand(box, planned, first) or tuple(
        tool for tool in box.wrenches if (tool.unit is unit if unit else tool.id == first.tool)
    )
    made = _plan_wanted(needs, box, wanted, day)
    if wanted:
        made = _without_more_multipliers(made, plan(needs, box, day))
    if multiplier := named.through(here, step, first):
        made = _plan_through(needs, box, wanted, day, multiplier, made)
    choices: dict[int, Choice | None] = {}
    leads, warned, at = {}, {}, 0
    for index, one in chunks:
        choice = choices[index] = made.choices[at]
        leads[index] = named.leads(here, step, one, needs[at], choice, day)
        warned[index] = warnings_of([choice], day) if choice else ()
        at += len(one.bolts)
    return StageTools(choices, None, made.faults, made.warnings, made.changes, leads, warned)


def _in_hand(box: ToolBox, planned: Planned, first: Chunk) -> tuple[TorqueWrench, ...]:
    """Return the wrench that somebody took last by its label; none where the procedure names one of the bay."""
    wrenches = {wrench.id: wrench for wrench in box.wrenches}
    if first.tool in wrenches:
        return ()
    return tuple(wrenches[tool] for tool in reversed(planned.taken) if tool in wrenches)[:1]


def _plan_through(
    needs: Sequence[Need], box: ToolBox, wanted: tuple[TorqueWrench, ...], day: date, multiplier: str, without: Plan
) -> Plan:
    """Plan with the multiplier that is named; where no wrench can drive it, as planned ``without`` it."""
    made = _plan_wanted([replace(need, multiplier=multiplier) for need in needs], box, wanted, day)
    if not made.faults:
        return made
    if not without.faults:
        return without
    taken = tuple(one or other for one, other in zip(made.choices, without.choices, strict=True))
    used = [choice.tools for choice in taken if choice is not None]
    changes = sum(first != second for first, second in pairwise(used))
    told = tuple(dict.fromkeys((*made.warnings, *without.warnings)))
    return Plan(taken, without.faults if None in taken else (), told, changes)


def _plan_wanted(needs: Sequence[Need], box: ToolBox, wanted: tuple[TorqueWrench, ...], day: date) -> Plan:
    """Plan with the wrenches in the unit that was asked for, or the one of the procedure, if they do it all."""
    if wanted:
        made = plan(needs, replace(box, wrenches=wanted), day)
        if not made.faults:
            return made
    return plan(needs, box, day)


def _without_more_multipliers(made: Plan, other: Plan) -> Plan:
    """Return ``other`` if it does with fewer multipliers: nobody mounts one for the sake of a unit or a name."""
    fewer = sum(one is not None and one.multiplier is not None for one in other.choices) < sum(
        one is not None and one.multiplier is not None for one in made.choices
    )
    return other if fewer and not other.faults else made


def _need(chunk: Chunk, unit: TorqueUnit | None, names: dict[Reach, str]) -> Need:
    target = _torque(chunk.target)
    assert target is not None  # the stage is done with a torque wrench
    reach = chunk.of.adapter
    return Need(
        target,
        _torque(chunk.of.low),
        _torque(chunk.of.high),
        chunk.of.drag,
        names[reach] if reach else None,
        unit=unit,
    )


def _torque(value: Torque | Angle | None) -> Torque | None:
    return value if isinstance(value, Torque) else None


def _with_reaches(box: ToolBox, chunks: Sequence[Chunk]) -> tuple[ToolBox, dict[Reach, str]]:
    """Return the box with each adapter as the places ask for it (its angle there), and the id for each reach.

    A reach of which the bay has no adapter gets an id that is in no box, so that the choice complains about it.
    """
    names: dict[Reach, str] = {}
    adapters: list[Adapter] = []
    for reach in dict.fromkeys(one.of.adapter for one in chunks if one.of.adapter is not None):
        fitting = [tool for tool in box.adapters if tool.length == reach.length]
        tool = next((tool for tool in fitting if tool.name == reach.name), fitting[0] if fitting else None)
        if tool is None:
            names[reach] = str(reach.length)
            continue
        names[reach] = tool.id if tool.angle == reach.angle else f"{tool.id} at {reach.angle}"
        adapters.append(replace(tool, id=names[reach], angle=reach.angle))
    return replace(box, adapters=tuple(adapters)), names
