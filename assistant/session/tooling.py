"""Which tool does each run of a stage, what is set on it, and in which unit values are said and read.

A stage is planned when it is first read out, with the day and the use counts of that moment, and the plan is kept:
what was said before the stage holds until its end. Who takes the job up again, or asks for another unit, gets
a new one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

from assistant.fastening.choice import Choice, Need, Plan, plan
from assistant.fastening.faults import Fault
from assistant.fastening.programme import Way
from assistant.fastening.quantities import plain
from assistant.fastening.tools import Adapter, AngleGauge, ToolBox, TorqueWrench
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.model import Limits, Reach, TightenStep
from assistant.session.engine import Engine
from assistant.session.places import Chunk
from assistant.session.state import Planned

_CLICKS = (Way.TORQUE, Way.CHECK)
"""What is done with a torque wrench."""


@dataclass(frozen=True, slots=True)
class StageTools:
    """Tools of one pass: ``choices`` by index of the chunk, and what must be said before the first bolt."""

    choices: dict[int, Choice | None]
    gauge: AngleGauge | None
    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]
    changes: int


def stage_tools(e: Engine, step: TightenStep, turn: int) -> StageTools | None:
    """Return the tools of pass ``turn`` of ``step``, planned now if that was not done; None without a tool file."""
    if e.tools is None:
        return None
    key = (step.id, turn)
    planned = e.state.planned.get(key)
    if planned is None:
        unit = e.state.unit.value if e.state.unit else ""
        planned = Planned(e.now_ms // 86_400_000, unit, tuple(sorted(e.state.clicks.items())))
        e.state.planned[key] = planned
        found = _planned(e, step, turn, planned)
        _record(e, step, turn, found)
        return found
    return _planned(e, step, turn, planned)


def _planned(e: Engine, step: TightenStep, turn: int, planned: Planned) -> StageTools:
    """Plan a pass, or return the plan that was made of the same facts before."""
    key = (step.id, turn, planned)
    if key not in e.plans:
        e.plans[key] = _plan(e, step, turn, planned)
    return e.plans[key]


def _plan(e: Engine, step: TightenStep, turn: int, planned: Planned) -> StageTools:
    assert e.tools is not None
    box = e.tools.with_clicks(dict(planned.clicks))
    day = datetime.fromtimestamp(planned.day * 86_400, UTC).date()
    chunks = [(index, one) for index, one in enumerate(e.chunks[step.id]) if one.turn == turn]
    way = chunks[0][1].way
    if way not in _CLICKS:
        gauge = box.gauge() if way is Way.ANGLE else None
        faults: tuple[Fault, ...] = ()
        if way is Way.ANGLE and gauge is None:
            faults = (Fault("There is no angle gauge in the tool box", "mark the bolts, or add a gauge to the tools"),)
        return StageTools({}, gauge, faults, (), 0)
    unit = TorqueUnit(planned.unit) if planned.unit else None
    box, names = _with_reaches(box, [one for _, one in chunks])
    needs = [_need(one, unit, names) for _, one in chunks for _ in one.bolts]
    named = step.stages[chunks[0][1].stage - 1].tool
    wanted = tuple(tool for tool in box.wrenches if (tool.unit is unit if unit else tool.id == named))
    made = _plan_wanted(needs, box, wanted, day)
    choices, at = {}, 0
    for index, one in chunks:
        choices[index] = made.choices[at]
        at += len(one.bolts)
    return StageTools(choices, None, made.faults, made.warnings, made.changes)


def _plan_wanted(needs: Sequence[Need], box: ToolBox, wanted: tuple[TorqueWrench, ...], day: date) -> Plan:
    """Plan with the wrenches in the unit that was asked for, or the one of the procedure, if they do it all."""
    if wanted:
        made = plan(needs, replace(box, wrenches=wanted), day)
        if not made.faults:
            return made
    return plan(needs, box, day)


def _need(chunk: Chunk, unit: TorqueUnit | None, names: dict[Reach, str]) -> Need:
    def known(value: Torque | Angle | None) -> Torque | None:
        return (value.to(unit) if unit else value) if isinstance(value, Torque) else None

    target = known(chunk.target)
    assert target is not None
    reach = chunk.of.adapter
    return Need(target, known(chunk.of.low), known(chunk.of.high), chunk.of.drag, names[reach] if reach else None)


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
            names[reach] = f"of {reach.length}"
            continue
        names[reach] = tool.id if tool.angle == reach.angle else f"{tool.id} at {reach.angle}"
        adapters.append(replace(tool, id=names[reach], angle=reach.angle))
    return replace(box, adapters=tuple(adapters)), names


# What is said and read


def choice_at(e: Engine) -> Choice | None:
    """Return what the present bolts are done with; None without a tool file, or when nothing suits."""
    step, here = e.step, e.bolt_place()
    if here is None or not isinstance(step, TightenStep):
        return None
    tools = stage_tools(e, step, here[0].turn)
    return tools.choices.get(here[2]) if tools else None


def choice_known(e: Engine) -> Choice | None:
    """Return what the present bolts are done with when their stage was read out; it plans nothing."""
    step, here = e.step, e.bolt_place()
    if here is None or not isinstance(step, TightenStep) or (step.id, here[0].turn) not in e.state.planned:
        return None
    return choice_at(e)


def is_plain(e: Engine, chunk: Chunk, choice: Choice) -> bool:
    """Return whether the setting is the target itself, so that one number says both."""
    apart = choice.adapter is not None or choice.multiplier is not None or chunk.of.drag is not None
    return not apart and chunk.target is not None and choice.setting == in_unit(e, chunk.target)


def in_unit(e: Engine, value: Torque | Angle, *, up: bool = False) -> Torque | Angle:
    """Return a torque in the unit that was asked for, rounded down (or ``up``) to a tenth, or a hundredth below ten."""
    unit = e.state.unit
    if unit is None or not isinstance(value, Torque) or value.unit is unit:
        return value
    there = value.to(unit)
    step = Decimal("0.1") if there.value >= 10 else Decimal("0.01")
    return Torque(there.value.quantize(step, ROUND_CEILING if up else ROUND_FLOOR).normalize() + 0, unit)


def check_limits(e: Engine, limits: Limits) -> Limits:
    """Return the limits of a check in the unit that was asked for, rounded to the inside; others as they are."""
    if e.state.unit is None or limits.unit not in set(TorqueUnit):
        return limits
    unit = TorqueUnit(limits.unit)
    low, high = (
        None if end is None else in_unit(e, Torque(end, unit), up=up).value
        for end, up in ((limits.low, True), (limits.high, False))
    )
    return Limits(low, high, e.state.unit.value)


def reading_unit(e: Engine, chunk: Chunk) -> TorqueUnit | None:
    """Return the unit in which a torque is read off here: the one asked for, the wrench's, the procedure's.

    None where an angle is read off, in degrees.
    """
    if chunk.way not in _CLICKS or not isinstance(chunk.target, Torque):
        return None
    choice = choice_at(e)
    return e.state.unit or (choice.wrench.unit if choice else chunk.target.unit)


def clicks_of(chunk: Chunk, choice: Choice | None, bolts: int) -> int:
    """Return how many clicks the wrench did at so many ``bolts``."""
    return bolts if choice is not None and chunk.way in _CLICKS else 0


def tool_data(choice: Choice | None) -> dict[str, Any]:
    """Return tools and setting as JSON values, all null without a choice."""
    wrench, adapter, multiplier = choice.tools if choice else (None, None, None)
    setting = quantity_data(choice.setting) if choice else None
    return {"tool": wrench, "adapter": adapter, "multiplier": multiplier, "setting": setting}


def limits_data(chunk: Chunk) -> dict[str, Any]:
    """Return the limits of a chunk as JSON values, in the unit of its target."""
    ends = {"low": chunk.of.low, "high": chunk.of.high}
    target = chunk.target
    found: dict[str, Any] = {}
    for name, end in ends.items():
        if isinstance(end, Torque) and isinstance(target, Torque):
            end = end.to(target.unit)  # noqa: PLW2901 - the same limit in the unit of the target
        data = quantity_data(end)
        found[name] = data["value"] if data else None
    return found


def quantity_data(value: Torque | Angle | None) -> dict[str, Any] | None:
    """Return a value with its unit as JSON values."""
    if value is None:
        return None
    unit = AngleUnit.DEGREE if isinstance(value, Angle) else value.unit
    return {
        "value": plain(value.to(AngleUnit.DEGREE).value if isinstance(value, Angle) else value.value),
        "unit": unit.value,
    }


def _record(e: Engine, step: TightenStep, turn: int, tools: StageTools) -> None:
    chunks = e.chunks[step.id]
    runs = {chunks[index].run: (chunks[index], choice) for index, choice in tools.choices.items()}
    e.record(
        "tools_chosen",
        step=step.id,
        stage=next(one.stage for one in chunks if one.turn == turn),
        turn=turn,
        choices=[
            {
                "run": run,
                "group": chunk.group,
                **tool_data(choice),
                "at_bolt": quantity_data(choice.at_bolt.rounded(Decimal("0.01"))),
                "accuracy": plain(choice.accuracy.quantize(Decimal("0.1"))),
            }
            if choice
            else None
            for run, (chunk, choice) in runs.items()
        ],
        gauge=tools.gauge.id if tools.gauge else None,
        faults=[fault.sentence for fault in tools.faults],
        warnings=[fault.sentence for fault in tools.warnings],
        changes=tools.changes,
    )
