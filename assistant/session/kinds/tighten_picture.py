"""What a display may show of a tightening: JSON values without a word of any language."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.facts import Quantity
from assistant.fastening.choice import Choice
from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import Angle, plain
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import (
    Chunk,
    bolt_key,
    bolt_place,
    bolts_in_turn,
    chunks_in,
    one_at_a_time,
    pointer,
    stands_aside,
)
from assistant.session.here import Here, target_data, text_of
from assistant.session.stage_at import stage_at, stage_named
from assistant.session.tools import chosen, named
from assistant.session.tools.values import bounds_of, in_unit, is_plain
from assistant.session.turning import Standing


def tightening_shown(here: Here, step: TightenStep) -> Mapping[str, Any]:
    """Return the present pass: its value, its tools, and which bolts are done, left out, next, and to come."""
    place = bolt_place(here)
    turned = here.base == Standing.TURNED
    result: dict[str, Any] = {"stages": len(step.stages), "one_by_one": here.state.one_by_one, "turned": turned}
    if place is None:
        return {
            **result,
            "stage": len(step.stages),
            "at": stage_named(step, len(step.stages))._asdict(),
            "current": [],
            "todo": [],
            "done": [],
            "skipped": [],
            "held": [],
            "doubted": [],
        }
    chunk, bolts, index, _ = place
    chunks, state = chunks_in(here.job, step.id), here.state
    places = bolts_in_turn(here.job, step, chunk.turn)
    stage = [(chunks[at].bolts[offset], bolt_key(here.job, step.id, at, offset)) for at, offset in places]
    used = dict.fromkeys(chunks[at].group for at, _ in places)
    held = [chunks[at].bolts[offset] for at, offset in places if stands_aside(here, step.id, chunks[at], offset)]
    choice = chosen.choice_known(here)
    group = here.job.groups[chunk.group]
    limits = bounds_of(chunk)
    return {
        **result,
        "stage": chunk.stage,
        "at": _stage(step, chunk),
        "together": chunk.within.together and len(bolts) > 1,
        "turn": chunk.turn,
        "way": chunk.way.value,
        "run": chunk.run,
        "group": {"id": group.id, "name": group.name, "size": group.size},
        "hidden": [{"bolt": one.bolt, "where": one.where} for one in group.hidden if one.bolt in bolts],
        "hidden_bolts": [one.bolt for name in used for one in here.job.groups[name].hidden],
        "order": [number for number, _ in stage],
        "target": _target(here, chunk),
        **_apart(here, step, chunk, index),
        "limits": {"low": text_of(limits.low), "high": text_of(limits.high)},
        "tools": _tools(choice) if choice else None,
        "then": _then(here, step),
        "current": list(bolts),
        "done": [number for number, bolt in stage if bolt in state.bolts],
        "skipped": [number for number, bolt in stage if bolt in state.bolts_skipped],
        "held": held,
        "doubted": [number for number, bolt in stage if bolt in state.doubts],
        "again": [
            {"bolt": number, "times": times}
            for number, _ in sorted(stage)
            if (times := state.retightened.get((chunk.group, number)))
        ],
        "again_at_most": group.retighten_at_most,
        "todo": [
            number
            for number, bolt in stage
            if bolt not in state.bolts and bolt not in state.bolts_skipped and number not in (*bolts, *held)
        ],
    }


def _stage(step: TightenStep, chunk: Chunk) -> Mapping[str, Any]:
    """Return in which stage, pass and repetition bolts are: places from one, and what the procedure prints."""
    return stage_at(step, chunk)._asdict()


def _target(here: Here, chunk: Chunk) -> Mapping[str, Any] | None:
    """Return the target as it is spoken: a torque in the unit that was asked for."""
    return target_data(in_unit(here, chunk.target)) if chunk.target else None


def _apart(here: Here, step: TightenStep, chunk: Chunk, index: int) -> dict[str, Any]:
    """Return whether the target is what arrives ``at_bolt``, and not what is set; and the angle at a ``handle`` [°].

    Until the tools of the pass are chosen, only what the procedure says counts.
    """
    choice = chosen.choice_known(here)
    turned = named.turned_through(here, step, chunk)
    handle = handle_angle(chunk.target, turned[1]) if turned and turned[1] and isinstance(chunk.target, Angle) else None
    planned = here.box is None or chosen.is_planned(here, step, chunk.turn)
    unknown = planned and chosen.no_number(chosen.leads_at(here, step, chunk, index))
    apart = choice is not None and not is_plain(here, chunk, choice)
    return {
        "at_bolt": bool(turned) or unknown or apart,
        "handle": plain(handle.value) if isinstance(handle, Angle) else None,
    }


def _tools(choice: Choice) -> Mapping[str, Any]:
    taken = chosen.taken(choice)
    return {**taken, "setting": _shown(taken["setting"])}


def _shown(quantity: Quantity | None) -> Mapping[str, str] | None:
    return None if quantity is None else {"value": plain(quantity.value), "unit": quantity.unit}


def _then(here: Here, step: TightenStep) -> Mapping[str, Any] | None:
    """Return the bolts that come behind the present ones in the step, and their value."""
    chunks = chunks_in(here.job, step.id)
    index, offset = pointer(here, step)
    single = one_at_a_time(here, chunks[index]) and not chunks[index].within.together
    at = offset + 1 if single else len(chunks[index].bolts)
    if at >= len(chunks[index].bolts):
        index, at = index + 1, 0
    if index >= len(chunks):
        return None
    chunk = chunks[index]
    single = one_at_a_time(here, chunk) and not chunk.within.together
    bolts = chunk.bolts[at : at + 1] if single else chunk.bolts[at:]
    return {
        "stage": chunk.stage,
        "at": _stage(step, chunk),
        "bolts": list(bolts),
        "way": chunk.way.value,
        "target": _target(here, chunk),
    }
