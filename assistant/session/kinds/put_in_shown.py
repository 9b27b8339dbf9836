"""What a display may show at a step that puts shims in: those that are proposed for each valve, and the packs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.procedure.rows import slug
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.session.here import Here
from assistant.session.kinds.packs_words import packs_shown
from assistant.session.kinds.shims_words import proposed_shown
from assistant.session.valves import ValveSpots, valves_of


def proposed_at(here: Here, step: DoStep) -> Mapping[str, Any]:
    """Return the proposals of what ``step`` puts in: JSON values; nothing where nothing was worked out."""
    names = set(map(slug, step.shim_for))
    valves = [one for table in _worked_out(here) for one in valves_of(here, table)]
    valves = [one for one in valves if slug(one.shim[1].shim_for) in names]
    packs = packs_shown(here, step.shim_for)
    if not valves and not packs:
        return {}
    columns = list(dict.fromkeys(one.clearance[1].name for one in valves))
    rows = dict.fromkeys(one.clearance[0].name for one in valves)
    found = {(one.clearance[0].name, one.clearance[1].name): _shim(here, one) for one in valves}
    return {
        "proposed": {
            "each": valves[0].step.each if valves else "",
            "columns": columns,
            "rows": [{"name": row, "cells": [found.get((row, column)) for column in columns]} for row in rows],
            "packs": packs,
        }
    }


def _worked_out(here: Here) -> list[MeasureStep]:
    return [table for table in here.job.steps_of(MeasureStep) if table.id in here.state.shims]


def _shim(here: Here, valve: ValveSpots) -> Mapping[str, Any] | None:
    shown: Mapping[str, Any] | None = proposed_shown(here, valve.shim_step, valve.shim).get("shim")
    return shown
