"""An independent reader of a job: what a strict foreman would hold against its entries.

It knows the procedure and the entries, and nothing of the code that made them. Each rule is one that a wrong word must
never break: no hazard, bolt, stage, count or step is passed over without a reason that was spoken and confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.fastening.units import Angle
from assistant.procedure.model import (
    CheckStep,
    CountStep,
    FitStep,
    Procedure,
    Step,
    TightenStep,
    WaitStep,
)

INPUTS = {"opened", "heard", "unclear", "clock", "resumed"}
ANSWERS = {CheckStep: {"check_answered", "reading"}, CountStep: {"counted"}, FitStep: {"part_fitted"}}
TIGHTENED = {"run_tightened", "bolt_tightened"}
PROGRESS = {"step_done", "prepared", "hazard_acknowledged", "skipped", "deviation", "closed", *TIGHTENED}.union(
    *ANSWERS.values()
)
NEEDS_CONFIRMED = {"hazard_acknowledged", "skipped", "deviation", "closed"}


class Ledger:
    """Takes one entry after the other; an AssertionError says which rule one of them breaks."""

    def __init__(self, procedure: Procedure) -> None:
        self.steps: dict[str, Step] = {step.id: step for step in (*procedure.steps, *procedure.closing)}
        self.order = list(self.steps)
        self.safety = len(procedure.safety)
        self.timers = {timer.id: timer for timer in procedure.timers}
        self.acknowledged: set[tuple[str, int]] = set()
        self.answered: set[str] = set()
        self.done: set[str] = set()
        self.skipped: set[str] = set()
        self.tightened: dict[tuple[str, int], set[int]] = {}
        self.left_out: dict[tuple[str, int], set[int]] = {}
        self.allowed: set[tuple[str, str]] = set()
        self.ends: dict[str, float] = {}
        self.dictated = ""
        self.asked_until = 0.0
        self.intent = ""
        self.number: str | None = None
        self.count: str | None = None
        self.closed = False

    def take(self, kind: str, data: Mapping[str, Any], now: float) -> None:
        """Hold one entry, made at ``now`` (seconds since the epoch), against the procedure."""
        assert not self.closed, f"{kind} after the job was closed"
        if kind in INPUTS:
            self._input(kind, data)
            return
        if kind in PROGRESS:
            assert self.intent, f"{kind} came of no command"
        if kind in NEEDS_CONFIRMED:
            assert self.intent == "confirmed", f"{kind} came of {self.intent}"
            if kind != "hazard_acknowledged":
                assert now <= self.asked_until, f"{kind} long after it was asked"
        step = self.steps.get(str(data.get("step")))
        if step is not None and kind in {"step_done", *TIGHTENED}.union(*ANSWERS.values()):
            self._may_be_done(step, now)
        if kind in TIGHTENED:
            assert isinstance(step, TightenStep)
            self._tightened(step, data)
        handler = getattr(self, f"_{kind}", None)
        if handler is not None:
            handler(data, now)

    def _input(self, kind: str, data: Mapping[str, Any]) -> None:
        self.intent = str(data["intent"]) if kind == "heard" else ""
        if kind != "heard":
            return
        self.number = data["number"]
        if self.intent == "count":
            self.count = self.number
        if data["clarity"] == "dictation" and self.intent != "end_note":
            self.dictated += " " + str(data["text"])

    def _reason(self, data: Mapping[str, Any]) -> None:
        reason = str(data["reason"])
        assert reason.strip(), "there is no reason"
        assert reason in self.dictated, f"nobody said {reason!r}"

    # Rules for a step that is confirmed

    def _may_be_done(self, step: Step, now: float) -> None:
        for number in range(1, self.safety + 1):
            assert (f"safety:{number}", 1) in self.acknowledged, f"safety hazard {number} was passed over"
        for number in range(1, len(step.hazards) + 1):
            assert (step.id, number) in self.acknowledged, f"hazard {number} of {step.id} was passed over"
        for earlier in self.order[: self.order.index(step.id)]:
            assert self.accounted_for(earlier), f"{earlier} was passed over; the job is at {step.id}"
        if step.before_timer and step.id not in self.done:
            in_time = self.ends.get(step.before_timer, 0.0) > now
            assert in_time or ("open_time", step.id) in self.allowed, f"{step.id} after its open time"

    def accounted_for(self, step_id: str) -> bool:
        """Whether a step was done in full, or left out with a reason, as far as it was."""
        step = self.steps[step_id]
        if step_id in self.skipped:
            return True
        if isinstance(step, TightenStep) and any(self.open_bolts(step, n) for n in range(1, len(step.stages) + 1)):
            return False
        return step_id in self.done and (type(step) not in ANSWERS or step_id in self.answered)

    def open_bolts(self, step: TightenStep, stage: int) -> list[int]:
        """The bolts of a stage, in its order, that were neither tightened nor left out with a reason."""
        gone = self.tightened.get((step.id, stage), set()) | self.left_out.get((step.id, stage), set())
        return [bolt for run in step.stages[stage - 1].runs for bolt in run.bolts if bolt not in gone]

    def _step_done(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        self.done.add(step.id)
        self.skipped.discard(step.id)
        assert type(step) not in ANSWERS or step.id in self.answered, f"{step.id} is done without its answer"
        if isinstance(step, TightenStep):
            for stage in range(1, len(step.stages) + 1):
                assert not self.open_bolts(step, stage), f"{step.id} is done with bolts open"
        if isinstance(step, WaitStep):
            over = step.timer in self.ends and self.ends[step.timer] <= now
            assert over or ("wait", step.id) in self.allowed, f"{step.id} was left early"

    # Rules for single facts

    def _asked(self, data: Mapping[str, Any], now: float) -> None:
        # Fifteen seconds of silence cancel; speaking 150 words a minute comes before that.
        self.asked_until = now + 15.0 + 0.4 * len(str(data["question"]).split()) + 1.0

    def _hazard_acknowledged(self, data: Mapping[str, Any], now: float) -> None:
        self.acknowledged.add((data["place"], data["number"]))

    def _tightened(self, step: TightenStep, data: Mapping[str, Any]) -> None:
        stage, bolts = data["stage"], data["bolts"]
        for earlier in range(1, stage):
            assert not self.open_bolts(step, earlier), f"stage {earlier} of {step.id} was passed over"
        order = [bolt for run in step.stages[stage - 1].runs for bolt in run.bolts]
        places = [order.index(bolt) for bolt in bolts]
        assert places == sorted(places), f"{bolts} are out of order"
        assert data["repeated"] == bool(set(bolts) & self.tightened.get((step.id, stage), set()))
        for bolt in bolts:
            run = next(run for run in step.stages[stage - 1].runs if bolt in run.bolts)
            assert run.group == data["group"]
            assert Decimal(data["target"]["value"]) == run.target.value, f"bolt {bolt} got the wrong target"
            assert data["target"]["unit"] == run.target.unit.value
            assert data["target"]["further"] is isinstance(run.target, Angle)
        before = [bolt for bolt in self.open_bolts(step, stage) if order.index(bolt) < min(places)]
        assert not before, f"{before} were passed over in stage {stage}"
        self.tightened.setdefault((step.id, stage), set()).update(bolts)
        self.left_out.setdefault((step.id, stage), set()).difference_update(bolts)

    def _stage_done(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, TightenStep)
        assert not self.open_bolts(step, data["stage"])
        assert set(data["not_tightened"]) == self.left_out.get((step.id, data["stage"]), set())

    def _skipped(self, data: Mapping[str, Any], now: float) -> None:
        self._reason(data)
        if data["what"] == "step":
            self.skipped.add(data["step"])
        elif data["what"] == "bolts":
            key = (data["step"], data["stage"])
            self.left_out.setdefault(key, set()).update(set(data["bolts"]) - self.tightened.get(key, set()))

    def _deviation(self, data: Mapping[str, Any], now: float) -> None:
        self._reason(data)
        self.allowed.add((data["what"], data["step"]))

    def _check_answered(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CheckStep)
        self.answered.add(step.id)
        good = (data["answer"] == "yes") is step.expect
        assert data["as_expected"] is good
        assert good or ("answer", step.id) in self.allowed

    def _reading(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CheckStep)
        assert step.limits is not None
        self.answered.add(step.id)
        value = Decimal(data["value"])
        low = step.limits.low if step.limits.low is not None else value
        high = step.limits.high if step.limits.high is not None else value
        assert data["in_limits"] is (low <= value <= high)
        assert data["in_limits"] or ("reading", step.id) in self.allowed

    def _counted(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CountStep)
        assert data["group"] == step.group
        assert str(data["count"]) == self.count, f"{self.count} was said, {data['count']} was kept"
        self.answered.add(step.id)
        assert data["matches"] == (data["count"] == data["expected"])
        assert data["matches"] or ("count", step.id) in self.allowed

    def _part_fitted(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, FitStep)
        assert str(data["count"]) == self.count
        self.answered.add(step.id)
        assert data["matches"] == (data["count"] == step.quantity)
        assert data["matches"] or ("part", step.id) in self.allowed

    def _timer_started(self, data: Mapping[str, Any], now: float) -> None:
        self.ends[data["timer"]] = now + self.timers[data["timer"]].seconds
        self.allowed -= {("open_time", step.id) for step in self.steps.values() if step.before_timer == data["timer"]}

    def _closed(self, data: Mapping[str, Any], now: float) -> None:
        self.closed = True
        whole = all(self.accounted_for(step) and step not in self.skipped for step in self.order)
        whole = whole and not any(self.left_out.values())
        if not whole:
            self._reason(data)
            assert data["open"], "nothing is said to be open"
