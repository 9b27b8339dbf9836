"""What a display may show: plain JSON values."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Any

from assistant.fastening.multiplier import handle_angle
from assistant.fastening.quantities import plain
from assistant.fastening.units import Angle
from assistant.procedure.model import Step
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep
from assistant.session import clocks, named, tooling
from assistant.session.engine import Engine, target_data, text_of
from assistant.session.grammar import accepted, grammar_of, is_phrase
from assistant.session.machine import OVERLAYS
from assistant.session.places import Card, Chunk, End, Place, Safety, StepPlace
from assistant.session.questions import tool_names
from assistant.session.tooling import limits_data, tool_data

_KEYS = ("next", "repeat", "pause", "carry_on")
"""Intents that a display may have buttons for."""
_NEXT_IS_REFUSED = ("hazard", "renewing", "out_of_limits", "finishing")
_NEXT_ASKS = ("checking", "counting", "fitting")
_NEAR = 0.7
"""How like a phrase (difflib ratio) a slip must be that it may have been meant; ours, tried on slips of one letter."""


def view(e: Engine) -> Mapping[str, Any]:
    """Return the view of the present state at ``e.now_ms``."""
    state, place, step = e.state, e.place, e.step
    unread = e.unread
    hazard = place.hazards[unread] if unread is not None else None
    following = e.places[state.at + 1] if state.at + 1 < len(e.places) else None
    return {
        "at_ms": e.now_ms,
        "title": e.procedure.title,
        "values": e.procedure.values,
        "heard": _heard(e),
        "phase": e.phase,
        "base": e.base,
        "closed": state.closed,
        "paused": e.phase == "paused",
        "place": place.key,
        "step": _step(place),
        "card": _card(e, place),
        "missing": list(state.missing.values()),
        "operators": list(state.operators),
        "may_take_over": [name for name in state.operators if name != state.operator],
        "keys": [name for name in _KEYS if _counts(e, name)],
        "hazard": None
        if hazard is None
        else {
            "word": hazard.word.value,
            "hazard": hazard.hazard,
            "consequence": hazard.consequence,
            "avoid": hazard.avoid,
        },
        "ask": _ask(e, step),
        "tools": _tool_names(e),
        "tighten": _tighten(e, step),
        "timers": [
            {
                "id": timer,
                "name": e.timers[timer].name,
                "kind": e.timers[timer].kind.value,
                "ends_ms": one.ends_ms,
                "over": one.over,
            }
            | {"left": clocks.seconds_left(e, timer)}
            for timer, one in sorted(state.timers.items())
            if not one.stopped
        ],
        "pending": {"action": state.pending.action, "question": state.pending.question, "final": state.pending.final}
        if state.pending
        else None,
        "dictation": {"kind": state.dictation.kind, "words": list(state.dictation.words)} if state.dictation else None,
        "progress": _progress(e, place),
        "next": _next(following),
        "last_said": state.last_said,
    }


def _heard(e: Engine) -> Mapping[str, Any] | None:
    """Return what came in last and whether it was understood, or refused.

    ``why`` it was not; ``near`` is a phrase of the present ones that may have been meant by what is no phrase at all.
    """
    if e.last_heard is None:
        return None
    text, why, near = str(e.last_heard["text"]), e.last_heard["why"], ""
    if why == "not here" and not is_phrase(text):
        why = "no phrase"
        found = difflib.get_close_matches(text.lower(), grammar_of(_state(e), _under(e)).phrases, 1, _NEAR)
        near = found[0] if found else ""
    understood = e.last_heard["understood"]
    return {"text": text, "why": why, "near": near, "understood": understood, "refused": understood and e.refused}


def standing(e: Engine) -> tuple[object, ...]:
    """Return what an understood command changes: where nothing of it changed, the command was refused."""
    state = e.state
    return (
        len(e.records), state.phase, state.at, state.thing, state.one_by_one, state.unit, len(state.missing),
        state.pending and state.pending.action, state.dictation and len(state.dictation.words),
    )  # fmt: skip


def _state(e: Engine) -> str:
    return e.phase if e.phase in (*OVERLAYS, "new", "closed") else e.listening


def _under(e: Engine) -> str:
    return e.listening if e.phase == "confirming" else ""


def _counts(e: Engine, name: str) -> bool:
    """Return whether an intent does something at this moment."""
    if name not in accepted(_state(e), _under(e)):
        return False
    if name != "next" or e.phase == "confirming":
        return True
    return e.base not in _NEXT_IS_REFUSED and (e.base not in _NEXT_ASKS or e.place.key in e.state.done)


def _progress(e: Engine, place: Place) -> Mapping[str, Any]:
    """Return how many steps are done and left out: of those that the present place is among, or of all at the end."""
    counts = {}
    for name, closing in (("steps", False), ("closing steps", True)):
        keys = [one.key for one in e.places if isinstance(one, StepPlace) and one.closing == closing]
        done, skipped = (sum(key in which for key in keys) for which in (e.state.done, e.state.skipped))
        counts[name] = {"done": done, "skipped": skipped, "of": len(keys)}
    if isinstance(place, End):
        return counts
    name = "closing steps" if isinstance(place, StepPlace) and place.closing else "steps"
    return {name: counts[name]}


def _card(e: Engine, place: Place) -> Mapping[str, Any] | None:
    """Return a page of the preparation: its things, which one is asked for, and which are missing."""
    if not isinstance(place, Card):
        return None
    lacking = sorted(number for key, number in e.state.missing if key == place.key)
    return {"what": place.what, "things": list(place.things), "thing": e.state.thing, "missing": lacking}


def _next(following: Place | None) -> str | None:
    """Return what comes behind the present place, in a few words; None when that is the end."""
    match following:
        case StepPlace():
            return following.step.text
        case Card():
            return "; ".join(following.things)
        case Safety():
            return f"{following.hazards[0].word.value.capitalize()} before the work"
    return None


def _tool_names(e: Engine) -> list[str]:
    """Return the tools that were chosen for the present bolts, or those that the procedure names."""
    choice = tooling.choice_known(e)
    if choice is None:
        return tool_names(e)
    return [tool.name for tool in (choice.wrench, choice.adapter, choice.multiplier) if tool]


def _step(place: Place) -> Mapping[str, Any] | None:
    if not isinstance(place, StepPlace):
        return None
    return {
        "id": place.step.id,
        "text": place.step.text,
        "info": place.step.info,
        "number": place.number,
        "of": place.of,
        "closing": place.closing,
    }


def _ask(e: Engine, step: Step | None) -> Mapping[str, Any] | None:
    """Return what kind of answer the step asks for."""
    match step:
        case CheckStep(limits=given) if given is not None:
            limits = tooling.check_limits(e, given)
            return {
                "kind": "reading",
                "unit": limits.unit,
                "low": text_of(limits.low),
                "high": text_of(limits.high),
            }
        case CheckStep():
            return {"kind": "yes_no", "expected": "yes" if step.expect else "no"}
        case CountStep():
            return {"kind": "count", "expected": e.expected_count(step), "direction": step.direction.value}
        case FitStep():
            return {"kind": "count", "expected": step.quantity, "direction": "in"}
        case WaitStep():
            return {"kind": "wait", "timer": step.timer}
    return None


def _then(e: Engine, chunks: Sequence[Chunk], index: int, offset: int) -> Mapping[str, Any] | None:
    """Return the bolts that come behind the present ones in the step, and their value."""
    at = offset + 1 if e.state.one_by_one else len(chunks[index].bolts)
    if at >= len(chunks[index].bolts):
        index, at = index + 1, 0
    if index >= len(chunks):
        return None
    chunk = chunks[index]
    bolts = chunk.bolts[at : at + 1] if e.state.one_by_one else chunk.bolts[at:]
    return {"stage": chunk.stage, "bolts": list(bolts), "way": chunk.way.value, "target": _target(e, chunk)}


def _target(e: Engine, chunk: Chunk) -> Mapping[str, Any] | None:
    """Return the target as it is spoken: a torque in the unit that was asked for."""
    return target_data(tooling.in_unit(e, chunk.target)) if chunk.target else None


def _apart(e: Engine, step: TightenStep, chunk: Chunk, index: int) -> dict[str, Any]:
    """Return whether the target is what arrives ``at_bolt``, and not what is set; and the angle at a ``handle`` [°].

    Looking plans nothing: without a plan only what the procedure says counts.
    """
    choice = tooling.choice_known(e)
    turned = named.turned_through(e, step, chunk)
    handle = handle_angle(chunk.target, turned[1]) if turned and turned[1] and isinstance(chunk.target, Angle) else None
    planned = e.tools is None or (step.id, chunk.turn) in e.state.planned
    unknown = planned and tooling.no_number(tooling.leads_at(e, step, chunk, index))
    apart = choice is not None and not tooling.is_plain(e, chunk, choice)
    return {
        "at_bolt": bool(turned) or unknown or apart,
        "handle": plain(handle.value) if isinstance(handle, Angle) else None,
    }


def _tighten(e: Engine, step: Step | None) -> Mapping[str, Any] | None:
    if not isinstance(step, TightenStep):
        return None
    here = e.bolt_place()
    result: dict[str, Any] = {"stages": len(step.stages), "one_by_one": e.state.one_by_one}
    if here is None:
        return {**result, "stage": len(step.stages), "current": [], "todo": [], "done": [], "skipped": []}
    chunk, bolts, index, offset = here
    chunks = e.chunks[step.id]
    places = e.bolts_of(step, chunk.turn)
    stage = [(chunks[index].bolts[at], (step.id, index, at)) for index, at in places]
    used = dict.fromkeys(chunks[index].group for index, _ in places)
    choice = tooling.choice_known(e)
    group = e.groups[chunk.group]
    return {
        **result,
        "stage": chunk.stage,
        "turn": chunk.turn,
        "way": chunk.way.value,
        "run": chunk.run,
        "group": {"id": group.id, "name": group.name, "size": group.size},
        "hidden": [{"bolt": one.bolt, "where": one.where} for one in group.hidden if one.bolt in bolts],
        "hidden_bolts": [one.bolt for name in used for one in e.groups[name].hidden],
        "order": [number for number, _ in stage],
        "target": _target(e, chunk),
        **_apart(e, step, chunk, index),
        "limits": limits_data(chunk),
        "tools": tool_data(choice) if choice else None,
        "then": _then(e, chunks, index, offset),
        "current": list(bolts),
        "done": [number for number, bolt in stage if bolt in e.state.bolts],
        "skipped": [number for number, bolt in stage if bolt in e.state.bolts_skipped],
        "todo": [
            number
            for number, bolt in stage
            if bolt not in e.state.bolts and bolt not in e.state.bolts_skipped and number not in bolts
        ],
    }
