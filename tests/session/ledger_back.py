"""What a strict foreman strikes out of his ledger when somebody takes something back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.fastening.quantities import Angle
from assistant.procedure.model import Group, Step
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Pass, Run, StagePurpose, TightenStep

TAKEN_BACK = {"taken_back", "reopened", "hazard_reopened", "thing_as_before", "deviation_withdrawn", "timer_as_before"}
TAKEN_BACK |= {"bolts_taken_back", "bolts_as_before", "new_taken_back", "hold_taken_back", "cell_reopened"}


def passes(step: TightenStep) -> list[tuple[int, Pass]]:
    """Return the passes of a step as they are done, each with its stage; a reseat brings those before it again."""
    done: list[tuple[int, Pass]] = []
    for number, stage in enumerate(step.stages, 1):
        done += [(number, one) for one in stage.passes for _ in range(one.repeat)]
        if stage.reseat:
            printed = [one.number or str(place) for place, one in enumerate(step.stages, 1)]
            first = printed.index(stage.reseat) + 1
            done += [
                (again, one)
                for again in range(first, number)
                for one in step.stages[again - 1].passes
                if one.purpose is not StagePurpose.LOOSEN
                for _ in range(one.repeat)
            ]
    return done


def passes_of(step: Step) -> list[Pass]:
    """Return the same of a step that must be a tightening."""
    assert isinstance(step, TightenStep)
    return [one for _, one in passes(step)]


class TakenBack:
    """The part of the ledger that strikes out; what it holds is the ledger's."""

    acknowledged: set[tuple[str, int]]
    answered: set[str]
    done: set[str]
    skipped: set[str]
    witnessed: set[str]
    released: set[str]
    new: set[str]
    allowed: set[tuple[Any, ...]]
    ends: dict[str, float]
    steps: dict[str, Step]
    groups: dict[str, Group]
    undecided: dict[tuple[str, int, int], Mapping[str, Any]]
    tightened: dict[tuple[str, int], set[int]]
    left_out: dict[tuple[str, int], set[int]]
    must_loosen: set[tuple[str, int]]
    held: dict[tuple[str, int], str]
    troubled: set[tuple[str, int]]
    wrong: set[Any]

    def _right(self, what: Any, good: bool) -> None:
        self.wrong = self.wrong - {what} if good else self.wrong | {what}

    def _reopened(self, data: Mapping[str, Any], now: float) -> None:
        place = data["place"]
        for of in (self.done, self.answered, self.skipped, self.witnessed, self.released):
            of.discard(place)
        self.acknowledged = {one for one in self.acknowledged if one[0] != place}
        self._right(place, good=True)
        step = self.steps.get(place)
        if isinstance(step, FitStep):
            used = {run.group for key, bolts in self.tightened.items() if bolts for run in self._runs(key)}
            self.new -= {group.id for group in self.groups.values() if group.spare == step.spare} - used

    def _runs(self, key: tuple[str, int]) -> tuple[Run, ...]:
        return passes_of(self.steps[key[0]])[key[1] - 1].runs

    def _hazard_reopened(self, data: Mapping[str, Any], now: float) -> None:
        self.acknowledged.discard((data["place"], data["number"]))

    def _deviation_withdrawn(self, data: Mapping[str, Any], now: float) -> None:
        self.allowed.discard((data["what"], data["step"]))

    def _timer_as_before(self, data: Mapping[str, Any], now: float) -> None:
        self.ends.pop(data["timer"], None)
        if data["was"] is not None:
            self.ends[data["timer"]] = data["was"]["ends_ms"] / 1000

    def _bolts_taken_back(self, data: Mapping[str, Any], now: float) -> None:
        key = (data["step"], data["turn"])
        angle = passes_of(self.steps[data["step"]])[data["turn"] - 1]
        for bolt in data["bolts"]:
            run = next(run for run in angle.runs if bolt in run.bolts)
            turned = isinstance(run.target, Angle) and angle.purpose is not StagePurpose.LOOSEN
            if turned and bolt in self.tightened.get(key, set()):
                assert bolt in data["must_loosen"], f"words undid the further angle of bolt {bolt}"
                self.must_loosen.add((data["group"], bolt))
            self.tightened.get(key, set()).discard(bolt)
            self.left_out.get(key, set()).discard(bolt)
            self.undecided.pop((*key, bolt), None)
            self._right((*key, bolt), good=True)
        self.must_loosen |= {(data["group"], bolt) for bolt in data["must_loosen"] if not turned}

    def _bolts_as_before(self, data: Mapping[str, Any], now: float) -> None:
        self.must_loosen |= {(data["group"], bolt) for bolt in data["must_loosen"]}

    def _hold_taken_back(self, data: Mapping[str, Any], now: float) -> None:
        key = (data["group"], data["bolt"])
        del self.held[key]
        self.troubled.discard(key)
        if data["must_loosen"]:
            self.must_loosen.add(key)

    def _new_taken_back(self, data: Mapping[str, Any], now: float) -> None:
        if not data["worn"] and not any(
            bolts and data["group"] in {run.group for run in self._runs(key)} for key, bolts in self.tightened.items()
        ):
            self.new.discard(data["group"])
