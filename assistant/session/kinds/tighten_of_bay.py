"""Which tools of the bay a tightening is done with, for a plan: those that are chosen for its passes."""

from __future__ import annotations

from assistant.facts.kinds.tighten import LeadCode
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import chunks_in
from assistant.session.here import Here
from assistant.session.part import OfBay
from assistant.session.tools.chosen import stage_tools
from assistant.session.tools.named import is_turned_with

_MULTIPLIER = (LeadCode.WITHOUT, LeadCode.NO_RATIO)
"""What is said where a multiplier that is named is not used, which no other tool stands in for."""


def tools_of_bay(here: Here, step: TightenStep) -> OfBay | None:
    """Return the tools of all passes of ``step`` as they are chosen; None without a tool file."""
    box = here.box
    if box is None:
        return None
    there, taken, lacking, unfit = box.names(), dict[str, None](), dict[str, None](), False
    for turn in dict.fromkeys(chunk.turn for chunk in chunks_in(here.job, step.id)):
        made = stage_tools(here, step, turn)
        if made is None:
            return None
        unfit |= None in made.choices.values()
        used = [tool for choice in made.choices.values() if choice is not None for tool in choice.tools]
        taken |= dict.fromkeys(tool for tool in (*used, made.gauge and made.gauge.id) if tool)
        leads = [lead for every in made.leads.values() for lead in every if lead.code in _MULTIPLIER]
        lacking |= dict.fromkeys(lead.tool for lead in leads if lead.tool not in there)
    named = (*step.tools, *step.named_inside)
    return OfBay(tuple(taken), tuple(one for one in named if is_turned_with(here, one)), tuple(lacking), unfit)
