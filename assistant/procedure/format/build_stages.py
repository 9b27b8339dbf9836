"""Nodes to stages and runs of a tighten step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from assistant.fastening.units import Angle, AngleUnit, Torque
from assistant.fastening.wrench import STRAIGHT
from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.bands import Band, parse_band
from assistant.procedure.format.draft import Places
from assistant.procedure.format.fields import Fields
from assistant.procedure.format.tree import MapNode
from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Reach, Run, Stage, StagePurpose

_NO_TARGET = Angle(Decimal(1), AngleUnit.DEGREE)
_MOST_STAGES = 99
_HALF_TURN = Angle(Decimal(180), AngleUnit.DEGREE)


@dataclass(frozen=True, slots=True)
class _Given:
    """What a stage gives to the runs that say nothing else."""

    target: Torque | Angle | None
    has_target: bool
    limits: Band
    drag: Torque | None
    adapter: Reach | None
    swing: Angle | None


class StageBuilder:
    """Makes the stages of one procedure. ``groups`` are those that are known, for all, order and reverse."""

    def __init__(self, findings: Findings, places: Places, groups: Mapping[str, Group]) -> None:
        self._findings = findings
        self._places = places
        self._groups = groups

    def stages(self, fields: Fields) -> tuple[Stage, ...]:
        """Make the stages of a step."""
        return tuple(self._stage(node) for node in fields.maps("stages", least=1))

    def _stage(self, node: MapNode) -> Stage:
        before = self._findings.count
        fields = Fields(node, "stage", self._findings)
        target = fields.target()
        given = _Given(
            target, _has_target(fields), _limits(fields, target), fields.torque("drag"), self._adapter(fields),
            fields.angle("swing"),
        )  # fmt: skip
        stage = Stage(
            tuple(self._run(run, given) for run in fields.maps("runs", least=1)),
            fields.ident("tool") or None,
            fields.text("note"),
            fields.text("exception"),
            node.line,
            StagePurpose(fields.choice("purpose", tuple(StagePurpose))),
            fields.yes_no("to_yield", default=False),
            fields.whole("repeat_from", _MOST_STAGES),
        )
        self._places.add(stage, node, sound=self._findings.count == before)
        return stage

    def _run(self, node: MapNode, given: _Given) -> Run:
        before = self._findings.count
        fields = Fields(node, "run", self._findings)
        own = _has_target(fields)
        target = fields.target() if own else given.target
        if not (own or given.has_target):
            text = "This run has no target: write torque: or angle: in the run or in its stage"
            fields.wrong(node, ReadingRule.MISSING_KEY, text)
        low, high = _limits(fields, target) if own or "limits" in fields else given.limits
        name = fields.ident("group")
        group = self._groups.get(name)
        bolts, drafted = self._bolts(fields, group)
        run = Run(
            name,
            bolts,
            target or _NO_TARGET,
            node.line,
            low,
            high,
            fields.torque("drag") or given.drag,
            self._adapter(fields) or given.adapter,
            fields.angle("swing") or given.swing,
            drafted,
        )
        self._places.add(run, node, sound=self._findings.count == before)
        return run

    def _bolts(self, fields: Fields, group: Group | None) -> tuple[tuple[int, ...], str]:
        """Return the bolts of a run in their order, and the pattern when that was drafted."""
        if group is None:
            return fields.bolts("bolts", dict.fromkeys(("all", "order", "reverse"), ())), ""
        word = fields.word("bolts", ("order", "reverse"))
        if not word:
            return fields.bolts("bolts", {"all": group.bolts}), ""
        if not group.order:
            if self._places.sound(group):
                text = f'The group "{group.id}" has no order: write order: in the group, or the bolts here'
                fields.wrong(fields.node.values["bolts"], ReadingRule.BOLT_LIST, text)
            return (), ""
        if word == "order":
            return group.order, group.order_drafted
        return group.order[::-1], group.order_drafted and f"{group.order_drafted}, reversed"

    def _adapter(self, fields: Fields) -> Reach | None:
        if "adapter" not in fields:
            return None
        one = Fields(fields.map("adapter"), "adapter", self._findings)
        length, angle = one.length("length"), one.angle_from_zero("angle") or STRAIGHT
        if angle > _HALF_TURN:
            text = f"The adapter stands at {angle}: write 0° for straight, 90° for square, up to 180° for pointing back"
            one.wrong(one.node.values["angle"], ReadingRule.UNIT, text)
        return None if length is None else Reach(length, angle, one.text("name"))


def _limits(fields: Fields, target: Torque | Angle | None) -> Band:
    """Return the limits of a target; they stand in the same mapping as it does."""
    if "limits" not in fields:
        return None, None
    if not _has_target(fields):
        text = "There are limits here and no target: write torque: or angle: beside them"
        fields.wrong(fields.node.keys["limits"], ReadingRule.MISSING_KEY, text)
    if target is None:
        return None, None
    return fields.parsed("limits", lambda text: parse_band(text, target)) or (None, None)


def _has_target(fields: Fields) -> bool:
    return "torque" in fields or "angle" in fields
