"""The tighten steps of another file, for the groups that a refit puts back: all of them, in their order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from assistant.authoring.skeleton import step
from assistant.authoring.text import comment, ident
from assistant.procedure.format.step_list import write_step
from assistant.procedure.model import Procedure, Step
from assistant.procedure.steps.tighten import TightenStep


class Torques:
    """The tighten steps of ``programme`` that a refit of ``it`` takes over once the bolts are in.

    ``groups`` are those that the refit puts back and tightens; ``taken`` are the ids that no step may have any more.
    """

    def __init__(self, it: Procedure, programme: Procedure | None, groups: Collection[str], taken: set[str]) -> None:
        self._it = it
        self._programme = programme
        self._taken = taken
        self._all = tuple(programme.steps) if programme else ()
        tightens = [one for one in self._all if isinstance(one, TightenStep)]
        self._wanted = [one for one in tightens if _groups(one) & set(groups)]
        self._missing = set(groups)
        """Groups whose bolts are not in yet."""
        self._last: dict[str, int] = {}
        """Where in the programme the last step stands that was taken over for a group."""

    def covers(self, group: str) -> bool:
        """Return whether the programme tightens ``group``."""
        return any(group in _groups(one) for one in self._wanted) or group in self._last

    def ready(self, group: str) -> Iterator[str]:
        """Yield the drafted steps that can be done with the bolts of ``group`` in, in the order of the programme."""
        self._missing.discard(group)
        held: set[str] = set()
        for one in list(self._wanted):
            if _groups(one) & (self._missing | held):
                held |= _groups(one)  # what comes after it in the programme comes after it here
            else:
                self._wanted.remove(one)
                yield self._drafted(one)

    def left(self) -> list[str]:
        """Return what the programme has besides, and a person must decide about."""
        here = {name for one in self._it.steps if isinstance(one, TightenStep) for name in _groups(one)}
        others = [
            one for one in self._all if isinstance(one, TightenStep) and not _groups(one) & (here | set(self._last))
        ]
        return [f'where the step "{one.id}" of the programme belongs, which is not used: {one.text}' for one in others]

    def _drafted(self, one: TightenStep) -> str:
        made = write_step(one)
        made["id"] = ident(one.id, self._taken)
        self._taken.add(made["id"])
        remarks = ["check the order of the bolts, and each tool, with the maker's procedure"]
        if unnamed := list(_unnamed(one)):
            remarks.append(f"name the tool of stage {', '.join(unnamed)}")
        remarks += self._lacking(one, made)
        place = self._all.index(one)
        between = list(self._between(one, place))
        self._last |= dict.fromkeys(_groups(one), place)
        return comment(f'From the programme, its step "{one.id}".', 6) + step(made, *between, *remarks)

    def _between(self, one: TightenStep, place: int) -> Iterator[str]:
        """Yield the steps of the programme between this one and the last one of its groups: they are not taken over."""
        before = max((self._last[name] for name in _groups(one) if name in self._last), default=None)
        if before is not None:
            for other in self._all[before + 1 : place]:
                if not isinstance(other, TightenStep):
                    yield f'the programme has a step before this one, "{other.id}": {other.text}'

    def _lacking(self, one: TightenStep, made: dict[str, Any]) -> Iterator[str]:
        """Yield what the step names and this file has not, or has as something else."""
        if one.refits and made.pop("refits", None):
            yield f'write what this step refits; in the programme it is "{one.refits}"'
        it, other = self._it, self._programme
        if other is None:
            return
        tools = {
            *one.tools,
            *one.against,
            *(tool for stage in one.stages for tool in stage.tools),
            one.lock,
            one.unlock,
        }
        timers = {one.starts_timer, one.before_timer}
        for names, key, mine, theirs in (
            (tools, "support_equipment", it.support_equipment, other.support_equipment),
            (set(one.supplies), "supplies", it.supplies, other.supplies),
            (timers, "timers", it.timers, other.timers),
            (_groups(one), "groups", it.groups, other.groups),
        ):
            listed = {thing.id: thing.name for thing in mine}
            meant = {thing.id: thing.name for thing in theirs}
            for name in sorted(filter(None, names)):
                if name not in listed:
                    yield f'list "{name}" ({meant.get(name, name)}) under {key}, as in the programme'
                elif meant.get(name, listed[name]) != listed[name]:
                    text = f'"{name}" is the {listed[name]} here, and the {meant[name]} in the programme'
                    yield f"{text}: make them agree"
        bolts = {group.id: group.bolts for group in it.groups}
        for group in other.groups:
            if group.id in _groups(one) and bolts.get(group.id, group.bolts) != group.bolts:
                yield f'the group "{group.id}" has other bolts in the programme: make them agree'


def _unnamed(one: TightenStep) -> Iterator[str]:
    """Yield the numbers of the stages in which bolts have no tool that is named for them."""
    for number, stage in enumerate(one.stages, 1):
        if any(stage.tool_of(part, run) is None for part in stage.passes for run in part.runs):
            yield stage.number or str(number)


def _groups(one: TightenStep) -> set[str]:
    return {run.group for stage in one.stages for run in stage.runs}


def is_tightened(steps: Iterable[Step], group: str) -> bool:
    """Return whether one of ``steps`` tightens bolts of ``group``."""
    return any(isinstance(one, TightenStep) and group in _groups(one) for one in steps)
