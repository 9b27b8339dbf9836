"""The stages of a drafted tighten step, as they stand in a file: one for each that a table prints, with passes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import count
from typing import Any

from assistant.authoring.tables.model import PassRead, TableBolts, Turn
from assistant.authoring.text import ident
from assistant.fastening.quantities import Angle
from assistant.procedure.format.forms import written_bolts
from assistant.procedure.steps.tighten import StagePurpose

_TOOLS = {False: "torque wrench", True: "angle gauge"}
"""By whether the pass turns by an angle, where the table names no tool."""


class DraftStages:
    """Writes the stages of ``passes``, in their order; ``names`` are id and name of the groups, by identity."""

    def __init__(self, passes: list[PassRead], names: Mapping[int, tuple[str, str]]) -> None:
        self._passes = passes
        self._names = names
        self._ids: dict[str, str] = {}
        for tool in (turn.tool or _usual(one) for one in passes for turn in one.turns):
            if tool:
                self._ids.setdefault(tool, ident(tool, self._ids.values()))

    @property
    def tools(self) -> list[tuple[str, str]]:
        """Return id and name of each tool, in the order in which they are used."""
        return [(name, words) for words, name in self._ids.items()]

    def of_joint(self, joint: list[TableBolts]) -> list[dict[str, Any]]:
        """Return the stages of one joint, in the order of the programme, with the numbers that the table prints."""
        groups = {id(group) for group in joint}
        parted: list[tuple[str, list[PassRead]]] = []
        for one in self._passes:
            turns = [turn for turn in one.turns if id(turn.group) in groups]
            if not turns:
                continue
            if not parted or not one.stage or parted[-1][0] != one.stage:
                parted.append((one.stage, []))
            parted[-1][1].append(PassRead(turns, one.stage, one.said))
        own = any(name not in ("", str(place)) for (name, _), place in zip(parted, count(1), strict=False))
        return [self._stage(name if own else "", passes, joint) for name, passes in parted]

    def _stage(self, number: str, passes: list[PassRead], joint: list[TableBolts]) -> dict[str, Any]:
        written = [self._pass(one) for one in passes]
        said = passes[0].said
        stage: dict[str, Any] = {"stage": number, "label": said.label}
        if said.reseat:
            stage["reseat"] = said.reseat
        shared = _taken([one.get("tool") for one in written])
        if shared and len(written) > 1:
            stage["tool"] = shared
            for one in written:
                one.pop("tool")
        turns = [turn for one in passes for turn in one.turns]
        out = [_left_out(group, turns, self._names[id(group)][1]) for group in joint]
        if any(out):
            stage["exception"] = f"The table has no value for {' and '.join(filter(None, out))} in this stage."
        stage = {key: value for key, value in stage.items() if value}
        return stage | (written[0] if len(written) == 1 else {"passes": written})

    def _pass(self, one: PassRead) -> dict[str, Any]:
        said = one.said
        made: dict[str, Any] = {}
        if said.purpose not in (None, StagePurpose.TIGHTEN):
            made["purpose"] = str(said.purpose)
        kind = "angle" if _by_angle(one) else "torque"
        shared = _taken([str(turn.target) for turn in one.turns])
        if shared:
            made[kind] = shared
        made |= {"repeat": str(said.repeat)} if said.repeat > 1 else {}
        made |= {"together": "yes"} if said.together else {}
        tools = [self._ids.get(turn.tool or _usual(one), "") for turn in one.turns]
        tool = _taken(tools)
        made |= {"tool": tool} if tool else {}
        runs = []
        for turn, own in zip(one.turns, tools, strict=True):
            run = {"group": self._names[id(turn.group)][0], "bolts": written_bolts(turn.bolts)}
            run |= {} if shared else {kind: str(turn.target)}
            runs.append(run | ({"tool": own} if own and not tool else {}))
        return made | {"runs": runs}


def _by_angle(one: PassRead) -> bool:
    return isinstance(one.turns[0].target, Angle)


def _usual(one: PassRead) -> str:
    """Return the name of the tool of a pass for which the table names none; "" where nothing goes without saying."""
    return "" if one.said.purpose is StagePurpose.LOOSEN else _TOOLS[_by_angle(one)]


def _taken(values: Iterable[Any]) -> Any:
    """Return what all ``values`` are; None when they differ."""
    found = set(values)
    return found.pop() if len(found) == 1 else None


def _left_out(group: TableBolts, turns: list[Turn], name: str) -> str:
    """Return which bolts of ``group`` a stage does not take, in words; "" when it takes all."""
    taken = {bolt for turn in turns if turn.group is group for bolt in turn.bolts}
    if taken == set(group.bolts):
        return ""
    return f"some of the {name}" if taken else f"the {name}"
