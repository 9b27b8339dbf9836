"""The part of the foreman's rules that is about bolts that broke or were lost, and about what was dropped."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.procedure.model import Step
from assistant.procedure.steps.tighten import StagePurpose, TightenStep

TROUBLES = {"bolt_held", "bolt_freed", "dropped_found", "trouble_left"}


class TroubleLedger:
    """Knows which bolts are held open and what may lie in the machine, by the entries alone."""

    steps: dict[str, Step]
    order: list[str]
    done: set[str]
    intent: str

    def __init__(self) -> None:
        self.held: dict[tuple[str, int], str] = {}
        self.given_up: set[tuple[str, int]] = set()
        self.troubled: set[tuple[str, int]] = set()
        """Bolts that are held open, with what happened to them; those that were given up; all that ever were."""
        self.opened_again: set[str] = set()
        """Steps that were done, and are not since one of their bolts broke: they may wait while other work goes on."""
        self.dropped: set[int] = set()
        self.not_out: set[int] = set()
        """What was dropped by its number, and for what of it a reason was given."""
        self.left: Mapping[str, Any] | None = None

    def _begins_again(self, data: Mapping[str, Any], bolt: int) -> None:
        raise NotImplementedError

    def _stands_aside(self, step: TightenStep, group: str, bolt: int) -> bool:
        """Whether a bolt is held open, or came out otherwise than by being slackened."""
        slackens = all(one.purpose is StagePurpose.LOOSEN for stage in step.stages for one in stage.passes)
        return (group, bolt) in (self.troubled if slackens else self.held)

    def _must_wait(self, step: TightenStep) -> list[int]:
        """The bolts of a step that are held open and without which it is not done."""
        if all(one.purpose is StagePurpose.LOOSEN for stage in step.stages for one in stage.passes):
            return []
        waiting = self.held.keys() - self.given_up
        return [bolt for one in step.stages for run in one.runs for bolt in run.bolts if (run.group, bolt) in waiting]

    def _left_as_it_is(self, data: Mapping[str, Any]) -> None:
        if data["what"] == "bolt_held":
            (bolt,) = data["bolts"]
            assert (data["group"], bolt) in self.held, f"bolt {bolt} was given up without being held"
            self.given_up.add((data["group"], bolt))
        if data["what"] == "dropped":
            ((_, number),) = data["things"]
            assert number in self.dropped
            self.not_out.add(number)

    def _bolt_held(self, data: Mapping[str, Any], now: float) -> None:
        key = (data["group"], data["bolt"])
        assert self.held.get(key) != data["what"] or key in self.given_up, "it was held open for that already"
        self.held[key] = data["what"]
        self.troubled.add(key)
        self.given_up.discard(key)
        self._begins_again({"group": data["group"], "step": self.order[-1]}, data["bolt"])
        for step in (self.steps[name] for name in self.done):
            if isinstance(step, TightenStep) and data["bolt"] in self._must_wait(step):
                assert step.id in data["reopened"], f"{step.id} stays done although bolt {data['bolt']} has nothing"
        self.done -= set(data["reopened"])
        self.opened_again |= set(data["reopened"])

    def _bolt_freed(self, data: Mapping[str, Any], now: float) -> None:
        key = (data["group"], data["bolt"])
        assert self.held.pop(key) == data["what"]
        self.given_up.discard(key)

    def _dropped(self, data: Mapping[str, Any], now: float) -> None:
        # told once more where it is taken back that it was left so, or found
        assert data["number"] not in self.dropped or self.intent == "confirmed"
        self.not_out.discard(data["number"])
        self.dropped.add(data["number"])

    def _dropped_found(self, data: Mapping[str, Any], now: float) -> None:
        self.dropped.remove(data["number"])

    def _trouble_left(self, data: Mapping[str, Any], now: float) -> None:
        assert {(one["group"], one["bolt"]): one["what"] for one in data["bolts"]} == self.held
        assert set(data["dropped"]) == self.dropped
        self.left = data
