"""Which tool does each run of a stage, what is set on it, and in which unit values are said and read.

A stage is planned when it is first read out, with the day and the use counts of that moment, and the plan is kept:
what was said before the stage holds until its end. Who takes the job up again, or asks for another unit, gets
a new one.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import for_the_ear, plain
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit
from assistant.procedure.model import Limits
from assistant.procedure.steps.tighten import TightenStep
from assistant.session import named
from assistant.session.engine import Engine
from assistant.session.places import Chunk
from assistant.session.stage_plan import CLICKS, StageTools, plan_stage
from assistant.session.state import Planned


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
        e.plans[key] = plan_stage(e, step, turn, planned)
    return e.plans[key]


def leads_at(e: Engine, step: TightenStep, chunk: Chunk, index: int) -> tuple[named.Lead, ...]:
    """Return what must be said before the numbers of ``chunk``, which stands at ``index`` in ``step``."""
    tools = stage_tools(e, step, chunk.turn)
    if tools is not None:
        return tools.leads.get(index, ())
    lead = named.no_ratio(e, step, step.stages[chunk.stage - 1])
    return (lead,) if lead and chunk.way in CLICKS else ()


def no_number(leads: tuple[named.Lead, ...]) -> bool:
    """Return whether nothing can be worked out, so that no number is given."""
    return any(lead.code is named.First.NO_RATIO for lead in leads)


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
    return Torque(for_the_ear(value.to(unit).value, up=up), unit)


def said_limit(e: Engine, limit: Torque | Angle, *, up: bool) -> Torque | Angle:
    """Return a limit as it is said: in the unit that was asked for, and what a percentage made of it rounded inside."""
    said = in_unit(e, limit, up=up)
    exponent = said.value.normalize().as_tuple().exponent
    if not isinstance(exponent, int) or exponent >= -2:
        return said
    return replace(said, value=for_the_ear(said.value, up=up))


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
    if chunk.way not in CLICKS or not isinstance(chunk.target, Torque):
        return None
    choice = choice_at(e)
    return e.state.unit or (choice.wrench.unit if choice else chunk.target.unit)


def clicks_of(chunk: Chunk, choice: Choice | None, bolts: int) -> int:
    """Return how many clicks the wrench did at so many ``bolts``."""
    return bolts if choice is not None and chunk.way in CLICKS else 0


def tool_data(choice: Choice | None) -> dict[str, Any]:
    """Return tools and setting as JSON values, all null without a choice."""
    wrench, adapter, multiplier = choice.tools if choice else (None, None, None)
    setting = quantity_data(choice.setting) if choice else None
    return {"tool": wrench, "adapter": adapter, "multiplier": multiplier, "setting": setting}


def limits_data(chunk: Chunk) -> dict[str, Any]:
    """Return the limits of a chunk as JSON values, in the unit of its target."""
    found: dict[str, Any] = {}
    for name, end in (("low", chunk.of.low), ("high", chunk.of.high)):
        data = quantity_data(_like(end, chunk.target))
        found[name] = data["value"] if data else None
    return found


def _like(end: Torque | Angle | None, target: Torque | Angle | None) -> Torque | Angle | None:
    """Return a limit in the unit of its target."""
    return end.to(target.unit) if isinstance(end, Torque) and isinstance(target, Torque) else end


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
        changes=tools.changes,
        **_told(e, step, tools),
    )


def _told(e: Engine, step: TightenStep, tools: StageTools) -> dict[str, Any]:
    """Return what was told about the tools: sentences under the first rules, codes and ids from the third on."""
    if e.rules < 3:
        return {
            "faults": [fault.sentence for fault in tools.faults],
            "warnings": [fault.sentence for fault in tools.warnings],
        }
    first = {(e.chunks[step.id][index].run, lead) for index, all_of in tools.leads.items() for lead in all_of}
    return {
        "first": [
            {"run": run, "code": lead.code.value, "tool": lead.tool or None}
            for run, lead in sorted(first, key=lambda one: (one[0], one[1].code))
        ],
        "faults": [_coded(one) for fault in tools.faults for one in (fault, *fault.reasons)],
        "warnings": [_coded(fault) for fault in tools.warnings],
    }


def _coded(fault: Unfit) -> dict[str, Any]:
    return {"code": fault.code.value, "tool": fault.tool or None}
