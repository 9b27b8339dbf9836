"""The words of facts about bolts and their tools, and of the values in them."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.facts import Quantity
from assistant.facts.codes import Way, Why
from assistant.facts.kinds import tighten
from assistant.facts.kinds.tighten import BoltsTightened, LeadCode
from assistant.procedure.model import Procedure
from assistant.procedure.programme_text import place_text
from assistant.procedure.steps.tighten import TightenStep
from assistant.report.record.printing import Names, prints, prints_asked
from assistant.report.record.values import amount_text, numbers, tolerated_words
from assistant.session.chunks import chunks_of
from assistant.session.stage_at import stage_at


def target_words(target: Quantity | None, way: Way) -> str:
    """Return the target of a tightening as it is printed; a further angle is told as one."""
    if target is None:
        return "loosened" if way == Way.LOOSEN else ""
    words = amount_text(target)
    if way == Way.LOOSEN:
        return f"{words} back"
    return f"{words} further" if target.unit == "°" else words


def unit_of(fact: BoltsTightened) -> str:
    """Return the unit in which the limits of a tightening stand: that of the target, else of the reading."""
    value = fact.target or fact.reading
    return "" if value is None else value.unit


def turn_places(step: TightenStep, procedure: Procedure) -> dict[int, str]:
    """Return by pass as it is done, from 1, which stage, pass and repetition of ``step`` that is."""
    return {one.turn: place_text(stage_at(step, one)) for one in chunks_of(step, procedure)}


def _places(names: Names) -> dict[str, dict[int, str]]:
    it = names.procedure
    steps = (*it.steps, *it.closing) if it is not None else ()
    return {step.id: turn_places(step, it) for step in steps if it is not None and isinstance(step, TightenStep)}


def _where(names: Names, step: str, stage: int | None, turn: int | None) -> str:
    """Return where something happened: the stage with its pass, or both numbers where nobody knows the procedure."""
    known = names.once(_places).get(step, {}).get(turn or 0)
    return f"stage {known}" if known else f"stage {stage}" + (f", turn {turn}" if turn != stage else "")


@prints(tighten.Reached)
def _reached(fact: tighten.Reached, names: Names) -> str:
    if fact.bolt is None:
        return f"behind the last bolt of {fact.step}"
    known = names.once(_places).get(fact.step, {}).get(fact.bolt.turn)
    where = f"stage {known}" if known else f"turn {fact.bolt.turn}"
    return f"next in {fact.step}: bolt {fact.bolt.bolt} in {where}"


@prints(tighten.BoltsTaken)
def _taken(fact: tighten.BoltsTaken, _: Names) -> str:
    return "bolts one by one" if fact.one_by_one else "bolts as a group"


@prints(tighten.PlansDropped)
def _dropped(_fact: tighten.PlansDropped, _: Names) -> str:
    return "tools are chosen anew from here on"


@prints(tighten.BoltsTightened)
def _tightened(fact: tighten.BoltsTightened, names: Names) -> str:
    where = _where(names, fact.step, fact.stage, fact.turn)
    tools = " with ".join(one for one in (fact.tool, fact.adapter, fact.multiplier) if one)
    told = {
        "limits": tolerated_words(fact.limits, fact.tolerance, unit_of(fact)),
        "tool": tools,
        "setting": amount_text(fact.setting),
        "drag": amount_text(fact.drag),
        "reading": amount_text(fact.reading),
        "verdict": fact.verdict or "",
        "": "again" if fact.repeated else "",
    }
    target = target_words(fact.target, fact.way)
    parts = [f"{where}: {fact.group} {numbers(fact.bolts)} to {target}"]
    return "; ".join([*parts, *(f"{label} {words}".strip() for label, words in told.items() if words)])


@prints(tighten.StageDone)
def _stage_done(fact: tighten.StageDone, names: Names) -> str:
    left = f"; NOT TIGHTENED: {numbers(fact.not_tightened)}" if fact.not_tightened else ""
    return f"{_where(names, fact.step, fact.stage, fact.turn)} done{left}"


@prints(tighten.OutOfLimits)
def _out_of_limits(fact: tighten.OutOfLimits, _: Names) -> str:
    held = tolerated_words(fact.limits, fact.tolerance, fact.reading.unit)
    where = f"{fact.group} {fact.bolt}, stage {fact.stage}"
    return f"{amount_text(fact.reading)} is {fact.verdict} the limits {held}: {where}"


@prints(tighten.BoltAgain)
def _again(fact: tighten.BoltAgain, _: Names) -> str:
    return f"done again: stage {fact.stage}, {fact.group} {fact.bolt}"


@prints(tighten.BoltsLoosened)
def _loosened(fact: tighten.BoltsLoosened, _: Names) -> str:
    return f"loosened, to begin again: stage {fact.stage}, {fact.group} {numbers(fact.bolts)}"


@prints(tighten.BoltReplaced)
def _replaced(fact: tighten.BoltReplaced, _: Names) -> str:
    return f"replaced by a new one: stage {fact.stage}, {fact.group} {numbers(fact.bolts)}"


@prints(tighten.NewConfirmed)
def _new(fact: tighten.NewConfirmed, _: Names) -> str:
    return f"new: {fact.group} {numbers(fact.bolts)}"


@prints(tighten.BoltsTakenBack)
def _taken_back(fact: tighten.BoltsTakenBack, _: Names) -> str:
    turned = f"; turned by a further angle, to be loosened: {numbers(fact.must_loosen)}" if fact.must_loosen else ""
    return f"open again: stage {fact.stage}, {fact.group} {numbers(fact.bolts)}{turned}"


@prints(tighten.BoltsAsBefore)
def _as_before(fact: tighten.BoltsAsBefore, _: Names) -> str:
    told = {"still turned": fact.must_loosen, "new ones must come": fact.worn}
    more = "".join(f"; {words}: {numbers(bolts)}" for words, bolts in told.items() if bolts)
    return f"neither loosened nor replaced after all: {fact.group} {numbers(fact.bolts)}{more}"


@prints(tighten.NewTakenBack)
def _new_taken_back(fact: tighten.NewTakenBack, _: Names) -> str:
    return f"not said to be new any more: {fact.group}{f' {numbers(fact.worn)}' if fact.worn else ''}"


@prints(tighten.LongPause)
def _pause(fact: tighten.LongPause, _: Names) -> str:
    return f"{fact.seconds} s between torque and angle of {fact.group}, stage {fact.stage}"


@prints(tighten.ToolsChosen)
def _chosen(fact: tighten.ToolsChosen, _: Names) -> str:
    runs = [_run(one) for one in fact.choices]
    told = [_told(one.code, one.tool) for one in fact.first]
    told += [_told(one.code, one.tool) for one in (*fact.faults, *fact.warnings)]
    gauge = [f"gauge {fact.gauge}"] if fact.gauge else []
    return f"tools for stage {fact.stage}: {'; '.join((*runs, *gauge, *told))}"


def _run(one: tighten.ToolsOfRun) -> str:
    tools = " with ".join(name for name in (one.tool, one.adapter, one.multiplier) if name) or "no tool"
    setting = f"set to {amount_text(one.setting)}" if one.setting else ""
    return " ".join(part for part in (one.group, tools, setting) if part)


def _told(code: LeadCode | Why, tool: str | None) -> str:
    return _TOOL_TOLD[code].format(tool or "").strip()


_TOOL_TOLD: Mapping[str, str] = {
    "without": "{} named and not used",
    "no_ratio": "ratio of {} not known",
    "out_of_reach": "{} named and does not reach",
    "alone": "{} named and does not reach alone",
    "cannot": "{} named and cannot be set",
    "not_in_file": "{} not in the tool file",
    "nothing": "no tool gives the value",
    "no_wrench": "no torque wrench",
    "no_adapter": "no adapter {}",
    "no_gauge": "no angle gauge",
    "lever": "lever of {} not suitable",
    "reach": "{} reaches back past the hand",
    "ratio": "ratio of {} not known",
    "rating": "over the rating of {}",
    "below_scale": "below the scale of {}",
    "above_scale": "above the scale of {}",
    "too_coarse": "scale of {} too coarse",
    "drag": "drag not suitable",
    "due": "{} due for calibration",
    "lowest_fifth": "in the lowest fifth of {}",
    "arm": "arm of {} pushes back",
}
"""What was told about a tool, by its code."""


@prints_asked(tighten.AskSkipBolts)
def _ask_skip(q: tighten.AskSkipBolts, _: Names) -> str:
    return f"leave out bolts {numbers(q.bolts)} of stage {q.stage} of {q.step}"


@prints_asked(tighten.AskBoltReading)
def _ask_reading(q: tighten.AskBoltReading, _: Names) -> str:
    return f"take a reading of {amount_text(q.reading)} out of limits at bolt {q.bolt} of {q.step}"


@prints_asked(tighten.AskLoosened)
def _ask_loosened(q: tighten.AskLoosened, _: Names) -> str:
    return f"are bolts {numbers(q.bolts)} of {q.step} loose again"


@prints_asked(tighten.AskReplace)
def _ask_replace(q: tighten.AskReplace, _: Names) -> str:
    return f"replace bolt {q.bolt} of {q.step}"
