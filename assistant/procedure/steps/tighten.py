"""A step that tightens groups of bolts through stages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import Any, ClassVar

from assistant.facts.codes import Way
from assistant.fastening.quantities import Angle, AngleUnit, Length, Torque
from assistant.faults import Fault
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.bands import Band, parse_band, written_band
from assistant.procedure.format.base import Given, Key
from assistant.procedure.format.codecs import ListOf
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
    refers,
    whole,
)
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Step, Traits


@dataclass(frozen=True, slots=True)
class Reach:
    """The crowfoot or lever extension that the place asks for.

    ``length`` is from the centre of the drive to the centre of the bolt, ``angle`` that to the wrench (0° straight on).
    """

    length: Length
    angle: Angle
    name: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """Bolts that are tightened together to one target, in the order given, before the next run of the stage.

    In a stage that loosens, ``target`` is the angle that they are turned back.
    """

    group: str
    bolts: tuple[int, ...]
    target: Torque | Angle
    line: int = 0
    low: Torque | Angle | None = None
    high: Torque | Angle | None = None
    """Limits of a reading after the target, both ends included, of the kind of the target."""
    drag: Torque | None = None
    """Prevailing torque of a self-locking thread, which comes on top of the target."""
    adapter: Reach | None = None
    swing: Angle | None = None
    """How far the handle can move in the space; a further angle is split into strokes of at most this."""
    drafted: str = ""
    """The general pattern that made the order; empty when the procedure gives it."""


class StagePurpose(StrEnum):
    """What a stage is for: to tighten, to loosen again, or to check what was tightened at a torque."""

    TIGHTEN = "tighten"
    LOOSEN = "loosen"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class Stage:
    """One pass: every run in order. All targets of a stage are of one kind, torque or further angle."""

    runs: tuple[Run, ...]
    tool: str | None = None
    note: str = ""
    exception: str = ""
    """Why this stage does not take every bolt of the groups of its step exactly once; empty when it does."""
    line: int = 0
    purpose: StagePurpose = StagePurpose.TIGHTEN
    to_yield: bool = False
    """Whether the stage stretches the bolts for good, so that they are never used again."""
    repeat_from: int | None = None
    """Only where the stage loosens: the stages from this number (1 is the first) to here are done once more."""

    @property
    def way(self) -> Way:
        """Return what the stage does, as the trade's arithmetic names it."""
        if self.purpose is StagePurpose.TIGHTEN:
            return Way.ANGLE if self.is_angle else Way.TORQUE
        return Way.LOOSEN if self.purpose is StagePurpose.LOOSEN else Way.CHECK

    @property
    def is_angle(self) -> bool:
        """Return whether this stage turns bolts by a further angle."""
        return isinstance(self.runs[0].target, Angle)


@dataclass(frozen=True, slots=True)
class TightenStep(Step):
    """Tighten groups of bolts through stages."""

    traits: ClassVar[Traits] = Traits(puts_on=True, loads=True, names_new=False)

    stages: tuple[Stage, ...] = ()

    @property
    def named_inside(self) -> tuple[str, ...]:
        """Return the tools of the stages."""
        return tuple(stage.tool for stage in self.stages if stage.tool)


_NO_TARGET = Angle(Decimal(1), AngleUnit.DEGREE)
_SHARED = ("torque", "angle", "limits", "drag", "adapter", "swing")
"""Keys of a stage that are not kept there: they hold for its runs."""


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


def _has_target(given: Given) -> bool:
    return "torque" in given or "angle" in given


def _target(given: Given) -> Torque | Angle | None:
    """Return what stands under torque or angle; None when there is neither, or after a complaint."""
    if "torque" in given and "angle" in given:
        reason = "There is both a torque and an angle here"
        hint = "keep one of them, an angle has a stage of its own"
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
    stage = given.outer
    assert stage is not None
    own = _has_target(given)
    target = (given if own else stage).once(_target)
    if not own and not _has_target(stage):
        hint = "write torque: or angle: in the run or in its stage"
        given.complain(given.node, ReadingRule.MISSING_KEY, "This run has no target", hint)
    low, high = (given if own or "limits" in given else stage).once(_limits)
    bolts, drafted = _bolts(given)
    access = {key: given[key] or stage[key] for key in ("drag", "adapter", "swing")}
    return Run(given["group"], bolts, target or _NO_TARGET, given.line, low, high, **access, drafted=drafted)


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
        Key("torque", TORQUE, "Target of this run, instead of that of the stage."),
        Key("angle", ANGLE, "Target of this run as a further angle, instead of that of the stage."),
        Key("limits", BAND, "Limits of a reading of this run's own target."),
        *_ACCESS,
    ),
    _run,
    _run_parts,
    example="group: long, bolts: 1-6",
)


def _stage(given: Given) -> Stage:
    given.once(_limits)
    return Stage(**given.values(*_SHARED), line=given.line)


def _stage_parts(stage: Stage) -> Mapping[str, Any]:
    """Return what is written in short: the target that all runs have, also in the unit, stands in the stage."""
    first = stage.runs[0].target
    shared = first if all(str(run.target) == str(first) for run in stage.runs) else None
    none: Any = None
    bare = (shared is not None and run.low is None and run.high is None for run in stage.runs)
    return {
        **dict.fromkeys(_SHARED),
        "torque": shared if isinstance(shared, Torque) else None,
        "angle": shared if isinstance(shared, Angle) else None,
        "runs": tuple(replace(run, target=none) if short else run for run, short in zip(stage.runs, bare, strict=True)),
    }


STAGE = KeyTable(
    "stage",
    (
        Key("torque", TORQUE, "Target of the runs that have none of their own."),
        Key("angle", ANGLE, "Target as a further angle, of the runs that have none of their own."),
        must("runs", ListOf(RUN, least=1), "The bolts of the stage, in the order of tightening."),
        Key("purpose", choice("purpose", StagePurpose), "tighten, loosen or check: what the stage is for; tighten when "
            "left out."),
        Key("limits", BAND, "Limits of a reading of the stage's target, such as 38 to 42 N·m."),
        Key("to_yield", YES_NO, "yes when the stage stretches the bolts for good."),
        Key("repeat_from", whole(99), "In a stage that loosens: the number of the stage from which all is done once "
            "more."),
        *_ACCESS,
        Key("tool", refers("support equipment"), "Id of the support equipment for the stage.", default=None),
        Key("note", TOLD, "What else must be known for the stage."),
        Key("exception", TEXT, "Why the stage does not take every bolt of its step exactly once."),
    ),
    _stage,
    _stage_parts,
    example="torque: 10 N·m, runs: [...]",
)  # fmt: skip


def _spread(step: dict[str, Any]) -> None:
    """Put each target at its run, so that one that changes does not move the others."""
    for stage in step.get("stages", ()):
        for key in ("torque", "angle"):
            target = stage.pop(key, None)
            for run in stage["runs"] if target is not None else ():
                run.setdefault(key, target)


step_format(
    TightenStep,
    "tighten",
    "Tighten bolts: the command, as it is spoken.",
    must("stages", ListOf(STAGE, least=1), "The passes, in order."),
    spread=_spread,
)
