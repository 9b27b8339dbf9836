"""Which tools a pass of a stage is done with.

A pass is planned when it begins, with the day and the clicks of that moment, and what was said before the stage holds
until its end. Who takes the job up again, or asks for another unit, gets a new plan. What it was made by stands in the
state, so it is made again from that at any time.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TypedDict

from assistant.facts import Quantity
from assistant.facts.kinds.tighten import LeadCode, ToolLead, ToolsChosen, ToolsOfRun, ToolTrouble
from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_place, chunks_in
from assistant.session.here import Here
from assistant.session.state import Planned
from assistant.session.tools import named
from assistant.session.tools.plan import CLICKS, StageTools, plan_stage
from assistant.session.tools.values import as_quantity

_DAY_MS = 86_400_000


def stage_tools(here: Here, step: TightenStep, turn: int) -> StageTools | None:
    """Return the tools of pass ``turn`` of ``step``: as planned, or as they would be now; None without a tool file."""
    tools = here.state.tools
    if tools is None or here.box is None:
        return None
    planned = here.state.planned.get((step.id, turn)) or _now(here)
    key = (tools.name, tools.sha256, tuple(sorted(tools.clicks.items())), step.id, turn, planned)
    if key not in here.job.plans:
        here.job.plans[key] = plan_stage(here, step, turn, planned)
    found = here.job.plans[key]
    assert isinstance(found, StageTools)
    return found


def _now(here: Here) -> Planned:
    unit = here.state.unit.value if here.state.unit else ""
    return Planned(here.now_ms // _DAY_MS, unit, tuple(sorted(here.state.clicks.items())), here.state.taken)


def is_planned(here: Here, step: TightenStep, turn: int) -> bool:
    """Return whether the tools of pass ``turn`` of ``step`` were chosen."""
    return (step.id, turn) in here.state.planned


def leads_at(here: Here, step: TightenStep, chunk: Chunk, index: int) -> tuple[named.Lead, ...]:
    """Return what must be said before the numbers of ``chunk``, which stands at ``index`` in ``step``."""
    tools = stage_tools(here, step, chunk.turn)
    if tools is not None:
        return tools.leads.get(index, ())
    lead = named.no_ratio(here, step, chunk)
    return (lead,) if lead and chunk.way in CLICKS else ()


def no_number(leads: tuple[named.Lead, ...]) -> bool:
    """Return whether nothing can be worked out, so that no number is given."""
    return any(lead.code is LeadCode.NO_RATIO for lead in leads)


def choice_at(here: Here) -> Choice | None:
    """Return what the present bolts are done with; None without a tool file, or when nothing suits."""
    step, place = here.step, bolt_place(here)
    if place is None or not isinstance(step, TightenStep):
        return None
    tools = stage_tools(here, step, place[0].turn)
    return tools.choices.get(place[2]) if tools else None


def choice_known(here: Here) -> Choice | None:
    """Return what the present bolts are done with, once the tools of their pass were chosen."""
    step, place = here.step, bolt_place(here)
    if place is None or not isinstance(step, TightenStep) or not is_planned(here, step, place[0].turn):
        return None
    return choice_at(here)


def clicks_of(chunk: Chunk, choice: Choice | None, bolts: int) -> int:
    """Return how many clicks the wrench did at so many ``bolts``."""
    return bolts if choice is not None and chunk.way in CLICKS else 0


# As facts


class Taken(TypedDict):
    """The ids of tools, and the setting of the wrench; all None without a choice."""

    tool: str | None
    adapter: str | None
    multiplier: str | None
    setting: Quantity | None


def taken(choice: Choice | None) -> Taken:
    """Return tools and setting for a fact."""
    wrench, adapter, multiplier = choice.tools if choice else (None, None, None)
    setting = as_quantity(choice.setting) if choice else None
    return Taken(tool=wrench, adapter=adapter, multiplier=multiplier, setting=setting)


def tools_chosen(here: Here, step: TightenStep, turn: int) -> ToolsChosen | None:
    """Return that the tools of pass ``turn`` of ``step`` are chosen now; None without a tool file."""
    tools = stage_tools(here, step, turn)
    if tools is None:
        return None
    chunks = chunks_in(here.job, step.id)
    planned = _now(here)
    runs = {chunks[index].run: (chunks[index], choice) for index, choice in tools.choices.items()}
    first = {(chunks[index].run, lead) for index, all_of in tools.leads.items() for lead in all_of}
    return ToolsChosen(
        step=step.id,
        stage=next(one.stage for one in chunks if one.turn == turn),
        turn=turn,
        choices=tuple(_of_run(run, chunk, choice) for run, (chunk, choice) in runs.items()),
        gauge=tools.gauge.id if tools.gauge else None,
        changes=tools.changes,
        first=tuple(
            ToolLead(run, lead.code, lead.tool or None)
            for run, lead in sorted(first, key=lambda one: (one[0], one[1].code))
        ),
        faults=tuple(_trouble(one) for fault in tools.faults for one in (fault, *fault.reasons)),
        warnings=tuple(_trouble(fault) for fault in tools.warnings),
        day=planned.day,
        unit=planned.unit,
        clicks=dict(planned.clicks),
    )


def _of_run(run: int, chunk: Chunk, choice: Choice | None) -> ToolsOfRun:
    at_bolt = as_quantity(choice.at_bolt.rounded(Decimal("0.01"))) if choice else None
    accuracy = choice.accuracy.quantize(Decimal("0.1")) if choice else None
    return ToolsOfRun(run=run, group=chunk.group, **taken(choice), at_bolt=at_bolt, accuracy=accuracy)


def _trouble(fault: Unfit) -> ToolTrouble:
    return ToolTrouble(fault.code, fault.tool or None)
