"""The keys of a tightening step in a file: its stages, their passes, and the runs of those."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.facts.codes import ReadAt
from assistant.fastening.quantities import Angle, AngleUnit, Length, Torque
from assistant.faults import Fault, quoted
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.bands import Band, parse_band, written_band
from assistant.procedure.format.base import Alternatives, Given, Key
from assistant.procedure.format.codecs import ListOf, OneOf, Text, Value
from assistant.procedure.format.forms import (
    ANGLE,
    BAND,
    DIRECTION,
    LENGTH,
    RUN_BOLTS,
    TEXT,
    TOLD,
    TORQUE,
    YES_NO,
    choice,
    matching,
    refers,
    whole,
)
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.steps import step_format
from assistant.procedure.steps.tighten import Pass, Reach, Run, Stage, StagePurpose, TightenStep

MOST_REPEATS = 20

_NO_TARGET = Angle(Decimal(1), AngleUnit.DEGREE)
_SHARED = ("torque", "angle", "limits", "drag", "adapter", "swing")
"""Keys of a pass that are not kept there: they hold for its runs."""


def _adapter(given: Given) -> Reach | None:
    length: Length | None = given["length"]
    return None if length is None else Reach(length, given["angle"], given["name"])


ADAPTER_NEEDED = KeyTable(
    "adapter",
    (
        must("length", LENGTH, "From the centre of the drive to the centre of the bolt, such as 50 mm."),
        Key("angle", DIRECTION, "Angle to the wrench: 0° straight on, 90° square, 180° pointing back; straight on when "
            "left out."),
        Key("name", TEXT, "What it is called, as it is spoken."),
    ),
    _adapter,
)  # fmt: skip
_ACCESS = (
    Key("drag", TORQUE, "Torque that a self-locking thread takes to turn; it comes on top of the target."),
    Key("adapter", ADAPTER_NEEDED, "The crowfoot or lever extension that the place asks for."),
    Key("swing", ANGLE, "How far the handle can move, as an angle; a further angle is split into strokes of at most "
        "this."),
)  # fmt: skip


_ACCESS_KEYS = tuple(key.name for key in _ACCESS)


def _has_target(given: Given) -> bool:
    return "torque" in given or "angle" in given


def _target(given: Given) -> Torque | Angle | None:
    """Return what stands under torque or angle; None when there is neither, or after a complaint."""
    if "torque" in given and "angle" in given:
        reason = "There is both a torque and an angle here"
        hint = "keep one of them, an angle has a pass of its own"
        given.complain(given.node.keys["angle"], ReadingRule.UNKNOWN_KEY, reason, hint)
    target: Torque | Angle | None = given["torque"] if "torque" in given else given["angle"]
    return target


def _limits(given: Given) -> Band:
    """Return the limits of a target, which stands beside them."""
    node, target = given["limits"], given.once(_target)
    if "limits" in given and not _has_target(given):
        hint = "write torque: or angle: beside them"
        given.complain(given.node.keys["limits"], ReadingRule.MISSING_KEY, "There are limits here and no target", hint)
    if node is None or target is None:
        return None, None
    band = parse_band(node.text, target)
    if isinstance(band, Fault):
        given.complain(node, ReadingRule.UNIT, band.reason, band.advice)
        return None, None
    return band


def _run(given: Given) -> Run:
    around = given.outer
    assert around is not None
    own = _has_target(given)
    target = (given if own else around).once(_target)
    if not own and not _has_target(around):
        hint = f"write torque: or angle: in the run or in its {'stage' if _is_stage(around) else 'pass'}"
        given.complain(given.node, ReadingRule.MISSING_KEY, "This run has no target", hint)
    low, high = (given if own or "limits" in given else around).once(_limits)
    bolts, drafted = _bolts(given)
    access = {key: next(filter(None, (one[key] for one in _within(given))), None) for key in _ACCESS_KEYS}
    tool = given["tool"]
    return Run(given["group"], bolts, target or _NO_TARGET, given.line, low, high, **access, tool=tool, drafted=drafted)


def _is_stage(given: Given) -> bool:
    return "passes" in given.keys


def _within(given: Given) -> Iterator[Given]:
    """Yield a run and what it stands in, up to its stage."""
    yield given
    around = given.outer
    while around is not None and "runs" in around.keys:
        yield around
        around = around.outer


def _bolts(given: Given) -> tuple[tuple[int, ...], str]:
    """Return the bolts of a run in their order, and the pattern when that was drafted."""
    bolts = given["bolts"]
    group = given.context.made.get("groups", {}).get(given["group"])
    if not isinstance(bolts, str):
        return bolts, ""
    if group is None:
        return (), ""
    if bolts == "all":
        return group.bolts, ""
    if not group.order:
        if given.context.places.sound(group):
            reason, hint = f'The group "{group.id}" has no order', "write order: in the group, or the bolts here"
            given.complain(given.at("bolts"), ReadingRule.BOLT_LIST, reason, hint)
        return (), ""
    if bolts == "order":
        return group.order, group.order_drafted
    return group.order[::-1], group.order_drafted and f"{group.order_drafted}, reversed"


def _run_parts(run: Run) -> Mapping[str, Any]:
    word = "reverse" if run.drafted.endswith("reversed") else "order"
    return {
        "bolts": word if run.drafted else run.bolts,
        "torque": run.target if isinstance(run.target, Torque) else None,
        "angle": run.target if isinstance(run.target, Angle) else None,
        "limits": written_band(run.low, run.high) or None,
    }


RUN = KeyTable(
    "run",
    (
        must("group", refers("group"), "Id of the group."),
        must("bolts", RUN_BOLTS, "Their numbers in the order of tightening; or all, order or reverse."),
        Key("torque", TORQUE, "Target of this run, instead of that of its pass."),
        Key("angle", ANGLE, "Target of this run as a further angle, instead of that of its pass."),
        Key("limits", BAND, "Limits of a reading of this run's own target."),
        *_ACCESS,
        Key(
            "tool",
            refers("support equipment"),
            "Id of the support equipment for this run, where it is another than that of its pass.",
            default=None,
        ),
    ),
    _run,
    _run_parts,
    example="group: long, bolts: 1-6",
)


_OF_PASS = (
    Key("torque", TORQUE, "Target of the runs that have none of their own."),
    Key("angle", ANGLE, "Target as a further angle, of the runs that have none of their own."),
    Key("purpose", choice("purpose", StagePurpose), "tighten, loosen or check: what it is for; tighten when left out."),
    Key("repeat", whole(MOST_REPEATS, 1), "How often it is done, one time right after the other; once when left out."),
    Key("together", YES_NO, "yes when the bolts of each run are turned all at once, and never apart."),
    Key("limits", BAND, "Limits of a reading of the target, such as 38 to 42 N·m."),
    Key("to_yield", YES_NO, "yes when it stretches the bolts for good."),
    Key(
        "read",
        OneOf("read", {one.value: one for one in ReadAt}),
        "torque or angle: what is read off at each bolt beside its target, to find one that strikes.",
        default=None,
    ),
)
"""What a pass has, and a stage that is one pass."""
_KIND = ("purpose", "repeat", "together", "to_yield", "read")
"""Those of them that are kept in the pass."""


def _pass(given: Given) -> Pass:
    given.once(_limits)
    return Pass(given["runs"], given["tool"], given["note"], given.line, **{key: given[key] for key in _KIND})


def _pass_parts(one: Pass) -> Mapping[str, Any]:
    """Return what is written in short: the target that all runs have, also in the unit, stands in the pass."""
    first = one.runs[0].target
    shared = first if all(str(run.target) == str(first) for run in one.runs) else None
    none: Any = None
    bare = (shared is not None and run.low is None and run.high is None for run in one.runs)
    return {
        **dict.fromkeys(_SHARED),
        "torque": shared if isinstance(shared, Torque) else None,
        "angle": shared if isinstance(shared, Angle) else None,
        "runs": tuple(replace(run, target=none) if short else run for run, short in zip(one.runs, bare, strict=True)),
    }


_RUNS = ListOf(RUN, least=1)
PASS = KeyTable(
    "pass",
    (
        *_OF_PASS[:2],
        must("runs", _RUNS, "The bolts of the pass, in the order of tightening."),
        *_OF_PASS[2:],
        *_ACCESS,
        Key("tool", refers("support equipment"), "Id of the support equipment for the pass, where it is another than "
            "that of its stage.", default=None),
        Key("note", TOLD, "What else must be known for the pass."),
    ),
    _pass,
    _pass_parts,
    example="angle: 50°, repeat: 3, runs: [...]",
)  # fmt: skip

_NUMBER = r"\d{1,2}(?:[.-]\d{1,2})?[A-Za-z]?|[A-Z]"


def _parse_number(text: str) -> str | Fault:
    if re.fullmatch(_NUMBER, text, re.ASCII):
        return text
    return Fault(f"{quoted(text)} is not a number of a stage", 'write it as it is printed, such as "3" or "2a"')


STAGE_NUMBER = Value(
    "stage-number", _parse_number, str,
    {"anyOf": [{"type": "number", "minimum": 0, "exclusiveMaximum": 100}, matching(_NUMBER, "3", "2a")]},
    'number of a stage as it is printed, such as "3" or "2a"', ReadingRule.NUMBER, harmless="",
)  # fmt: skip


def _stage(given: Given) -> Stage:
    about = {key: given[key] for key in ("tool", "note", "exception", "label")}
    begun = given["repeat_from"]
    reseat = given["reseat"] or ("" if begun is None else str(begun))
    if "reseat" in given and "repeat_from" in given:
        hint = "keep reseat, which is the newer name"
        given.complain(given.node.keys["repeat_from"], ReadingRule.UNKNOWN_KEY, "reseat and repeat_from are one", hint)
    named = {**about, "number": given["stage"], "reseat": reseat, "line": given.line}
    if "passes" in given:
        for key in (one.name for one in _OF_PASS if one.name in given):
            text, hint = f"{quoted(key)} belongs to a pass where a stage has passes", "move it into each of them"
            given.complain(given.node.keys[key], ReadingRule.UNKNOWN_KEY, text, hint)
        return Stage(given["passes"], **named)
    given.once(_limits)
    made = Stage.single(given["runs"], **named, **{key: given[key] for key in _KIND})
    given.context.places.add(made.passes[0], given.node, sound=True)  # whether it is sound, is known of its stage
    return made


def _stage_parts(stage: Stage) -> Mapping[str, Any]:
    """Return the keys of its only pass where they may stand in the stage, else its passes."""
    own: dict[str, Any] = dict.fromkeys((*_SHARED, *_KIND, "runs", "passes"))
    if stage.plain:
        own |= {**{key: getattr(stage.passes[0], key) for key in _KIND}, **_pass_parts(stage.passes[0])}
    else:
        own["passes"] = stage.passes
    return {**own, "stage": stage.number, "repeat_from": None}


STAGE = KeyTable(
    "stage",
    (
        Key("stage", STAGE_NUMBER, "The number that is printed, where it is not its place in the step.", "number"),
        Key("label", Text("label", 60, spoken=True), "What the stage is called, as it is spoken in place of a number."),
        *_OF_PASS[:2],
        Key("passes", ListOf(PASS, least=1), "Its passes, in order, where it has more than one."),
        Key("runs", _RUNS, "Where the stage is one pass: its bolts, in the order of tightening."),
        *_OF_PASS[2:],
        Key("reseat", STAGE_NUMBER, "In a stage that loosens: the number of the stage from which all is done once more."
            ),
        Key("repeat_from", whole(99), "The older name of reseat."),
        *_ACCESS,
        Key("tool", refers("support equipment"), "Id of the support equipment for the stage.", default=None),
        Key("note", TOLD, "What else must be known for the stage."),
        Key("exception", TEXT, "Why the stage does not take every bolt of its step, or takes one twice in a pass."),
    ),
    _stage,
    _stage_parts,
    Alternatives("_", {"runs": False, "passes": True}, Fault("A stage has runs, or passes with runs of their own",
                 "write one of the two")),
    example="torque: 10 N·m, runs: [...]",
)  # fmt: skip


def _spread(step: dict[str, Any]) -> None:
    """Put each target at its run, so that one that changes does not move the others."""
    for one in (one for stage in step.get("stages", ()) for one in stage.get("passes", [stage])):
        for key in ("torque", "angle"):
            target = one.pop(key, None)
            for run in one["runs"] if target is not None else ():
                run.setdefault(key, target)


step_format(
    TightenStep,
    "tighten",
    "Tighten bolts: the command, as it is spoken.",
    must("stages", ListOf(STAGE, least=1), "The stages, in order."),
    spread=_spread,
)
