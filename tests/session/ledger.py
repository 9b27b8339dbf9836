"""An independent reader of a job: what a strict foreman would hold against its entries.

It knows the procedure and the entries, and nothing of the code that made them. Each rule is one that a wrong word must
never break: no hazard, bolt, stage, count or step is passed over without a reason that was spoken and confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.fastening.quantities import Angle, AngleUnit, Torque
from assistant.procedure.model import Procedure, Step
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Pass, Run, StagePurpose, TightenStep
from assistant.procedure.steps.wait import WaitStep
from tests.session.ledger_back import TAKEN_BACK, TakenBack, passes
from tests.session.ledger_branches import OF_BRANCHES, READ_BACK, BranchLedger
from tests.session.ledger_second import SecondLedger
from tests.session.ledger_troubles import TROUBLES, TroubleLedger
from tests.session.ledger_values import in_newton_metres, verdict_of
from tests.session.ledger_ways import Ways

QUESTIONS = {"repeat", "repeat_step", "repeat_stage", "where", "left", "which_bolts", "what_value", "which_tool"}
QUESTIONS |= {"how_many", "time_left", "help", "what_missing", "brief"}
INPUTS = {"opened", "heard", "heard_of", "unclear", "clock", "resumed", "clock_stepped", "customer_answered"}
INPUTS |= {"heard_alike"}
DECISIONS = {"new_confirmed", "bolt_replaced", "bolts_loosened", "bolt_again", "out_of_limits", "unit_chosen"}
ANSWERS = {CheckStep: {"check_answered", "reading"}, CountStep: {"counted"}, FitStep: {"part_fitted"}}
TIGHTENED = {"tightened"}
PROGRESS = {
    "step_done",
    "prepared",
    "hazard_acknowledged",
    "skipped",
    "deviation",
    "closed",
    *TROUBLES,
    "dropped",
    *DECISIONS,
    *TIGHTENED,
    *TAKEN_BACK,
    *OF_BRANCHES,
}.union(*ANSWERS.values())
NEEDS_CONFIRMED = {"hazard_acknowledged", "skipped", "deviation", "closed", "new_confirmed", "bolt_replaced", *TROUBLES}
NEEDS_CONFIRMED |= TAKEN_BACK | READ_BACK


class Ledger(TroubleLedger, TakenBack, BranchLedger, Ways, SecondLedger):
    """Takes one entry after the other; an AssertionError says which rule one of them breaks."""

    def __init__(self, procedure: Procedure) -> None:
        self.steps: dict[str, Step] = {step.id: step for step in procedure.every_step}
        BranchLedger.__init__(self, procedure)
        self.safety = len(procedure.safety)
        self.timers = {timer.id: timer for timer in procedure.timers}
        self.acknowledged: set[tuple[str, int]] = set()
        self.answered: set[str] = set()
        self.done: set[str] = set()
        self.skipped: set[str] = set()
        self.groups = {group.id: group for group in procedure.groups}
        self.new: set[str] = set()
        self.undecided: dict[tuple[str, int, int], Mapping[str, Any]] = {}
        self.tightened: dict[tuple[str, int], set[int]] = {}
        self.left_out: dict[tuple[str, int], set[int]] = {}
        self.allowed: set[tuple[Any, ...]] = set()
        self.ends: dict[str, float] = {}
        self.dictated = ""
        self.asked_until = 0.0
        self.intent = ""
        self.number: str | None = None
        self.count: str | None = None
        self.closed = False
        TroubleLedger.__init__(self)
        self.must_loosen: set[tuple[str, int]] = set()
        """Bolts whose further angle was taken back: they are turned for good, until they are loose or others."""
        self.begin_ways()
        SecondLedger.__init__(self)
        self.wrong: set[Any] = set()
        """What was told to be wrong and was not put right since: problems, steps, bolts."""

    def take(self, kind: str, data: Mapping[str, Any], now: float) -> None:
        """Hold one entry, made at ``now`` (seconds since the epoch), against the procedure."""
        assert not self.closed, f"{kind} after the job was closed"
        if kind in INPUTS:
            self._input(kind, data, now)
            return
        if kind in PROGRESS:
            assert self.intent, f"{kind} came of no command"
        if kind in NEEDS_CONFIRMED:
            assert self.intent in ("confirmed", "i_release"), f"{kind} came of {self.intent}"
            assert self.intent == "confirmed" or kind in ("skipped", "deviation"), f"{kind} came of {self.intent}"
            if kind not in ("hazard_acknowledged", "new_confirmed"):
                assert now <= self.asked_until, f"{kind} long after it was asked"
        step = self.steps.get(str(data.get("step")))
        if step is not None and kind in {"step_done", *TIGHTENED}.union(*ANSWERS.values()):
            self._may_be_done(step, now)
        if kind in TIGHTENED:
            assert isinstance(step, TightenStep)
            self._bolts_tightened(step, data)
        handler = getattr(self, f"_{kind}", None)
        if handler is not None:
            handler(data, now)

    def _input(self, kind: str, data: Mapping[str, Any], now: float) -> None:
        said = kind in ("heard", "heard_of", "heard_alike")
        self.intent = str(data["intent"]) if said else ""
        self.taking_back = False
        if not said:
            return
        if self.intent in QUESTIONS and self.asked_until:
            # A question is answered and the read-back waits on.
            self.asked_until = max(self.asked_until, now + 15.0 + 1.0)
        self.number = data["number"]
        if self.intent == "count":
            self.count = self.number
        if data["words"]:
            self.dictated += " " + str(data["words"])

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
        assert step.id in self.order, f"{step.id} was done in a branch that is not open"
        for stop in self.stops_before(step.id):
            raise AssertionError(f"{step.id} was done behind {stop}, where the job stops")
        for earlier in self.order[: self.order.index(step.id)]:
            told = self.accounted_for(earlier) or earlier in self.jumped
            assert told, f"{earlier} was passed over; the job is at {step.id}"
            gone_past = self.steps[earlier].gate and not self.passed(earlier) and earlier not in self.opened_again
            assert not gone_past, f"the gate {earlier} was passed over"
        if step.before_timer and step.id not in self.done:
            in_time = self.ends.get(step.before_timer, 0.0) > now
            assert in_time or ("open_time", step.id) in self.allowed, f"{step.id} after its open time"

    def accounted_for(self, step_id: str) -> bool:
        """Whether a step was done in full, or left out with a reason, as far as it was."""
        step = self.steps[step_id]
        if step_id in self.skipped or step_id in self.opened_again:
            return True
        if isinstance(step, TightenStep) and any(self.open_bolts(step, n) for n in range(1, len(passes(step)) + 1)):
            return False
        return step_id in self.done and (type(step) not in ANSWERS or step_id in self.answered)

    def open_bolts(self, step: TightenStep, turn: int) -> list[int]:
        """The bolts of a pass, in its order, that were neither tightened nor left out with a reason."""
        gone = self.tightened.get((step.id, turn), set()) | self.left_out.get((step.id, turn), set())
        return [
            bolt
            for run in passes(step)[turn - 1][1].runs
            for bolt in run.bolts
            if bolt not in gone and not self._stands_aside(step, run.group, bolt)
        ]

    def _step_done(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        self.done.add(step.id)
        self.move_locks(step)
        assert step.id not in self.wrong or not step.gate or step.id in self.released, f"the gate {step.id} is wrong"
        self.gates_held.discard(step.id)
        self.skipped.discard(step.id)
        self.opened_again.discard(step.id)
        assert type(step) not in ANSWERS or step.id in self.answered, f"{step.id} is done without its answer"
        if isinstance(step, TightenStep):
            for turn in range(1, len(passes(step)) + 1):
                assert not self.open_bolts(step, turn), f"{step.id} is done with bolts open"
            assert not self._must_wait(step), f"{step.id} is done with a bolt held open"
        if isinstance(step, WaitStep):
            over = step.timer in self.ends and self.ends[step.timer] <= now
            assert over or ("wait", step.id) in self.allowed, f"{step.id} was left early"

    def begun_again(self, step: Step) -> bool:
        """Whether a tightening has bolts to do again."""
        return isinstance(step, TightenStep) and any(self.open_bolts(step, n) for n in range(1, len(passes(step)) + 1))

    # Rules for single facts

    def _asked(self, data: Mapping[str, Any], now: float) -> None:
        # Fifteen seconds of silence cancel, a minute for a second person; on the bench nothing is spoken.
        self.asked_until = now + (60.0 if data["question"]["what"] in ("release", "witness") else 15.0) + 1.0

    def _hazard_acknowledged(self, data: Mapping[str, Any], now: float) -> None:
        self.acknowledged.add((data["place"], data["number"]))

    def _bolts_tightened(self, step: TightenStep, data: Mapping[str, Any]) -> None:
        turn, bolts = data["turn"], data["bolts"]
        for earlier in range(1, turn):
            assert not self.open_bolts(step, earlier), f"pass {earlier} of {step.id} was passed over"
        number, stage = passes(step)[turn - 1]
        assert data["stage"] == number
        order = [bolt for run in stage.runs for bolt in run.bolts]
        places = [order.index(bolt) for bolt in bolts]
        assert places == sorted(places), f"{bolts} are out of order"
        if stage.together and not data["repeated"]:  # what is done again was done together before
            (whole,) = [run.bolts for run in stage.runs if bolts[0] in run.bolts]
            before = self.tightened.get((step.id, turn), set())
            before = before | {one for one in whole if self._stands_aside(step, data["group"], one)}
            before = before | self.left_out.get((step.id, turn), set())  # for a reason that was spoken
            assert set(whole) - set(bolts) <= before, f"{bolts} were turned apart from the others of {whole}"
        assert data["repeated"] == bool(set(bolts) & self.tightened.get((step.id, turn), set()))
        for bolt in bolts:
            run = next(run for run in stage.runs if bolt in run.bolts)
            assert run.group == data["group"]
            assert not self._stands_aside(step, run.group, bolt), f"bolt {bolt} is held open and was tightened"
            if data["verdict"] == "within":
                self.undecided.pop((step.id, turn, bolt), None)  # it was read off once more
            if stage.purpose is StagePurpose.LOOSEN:
                self.must_loosen.discard((run.group, bolt))
            assert (run.group, bolt) not in self.must_loosen, f"bolt {bolt} is turned still, and was not loosened"
            self._as_asked(run, stage, data)
            assert (step.id, turn, bolt) not in self.undecided, f"bolt {bolt} went on with a reading out of limits"
            self._right((step.id, turn, bolt), data["verdict"] in (None, "within"))
            if self.groups[run.group].single_use and stage.purpose is not StagePurpose.LOOSEN:
                assert run.group in self.new, f"bolt {bolt} may be an old one"
        before = [bolt for bolt in self.open_bolts(step, turn) if order.index(bolt) < min(places)]
        assert not before, f"{before} were passed over in pass {turn}"
        self.tightened.setdefault((step.id, turn), set()).update(bolts)
        self.left_out.setdefault((step.id, turn), set()).difference_update(bolts)

    def _as_asked(self, run: Run, stage: Pass, data: Mapping[str, Any]) -> None:
        """Hold what was set, read and counted against the procedure; the sizes are compared as exact fractions."""
        if run.target is None:
            assert data["target"] is None
        else:
            in_turns = run.target.unit is AngleUnit.TURN
            value, unit = (run.target.value * 360, "°") if in_turns else (run.target.value, run.target.unit.value)
            assert Decimal(data["target"]["value"]) == value, "a bolt got the wrong target"
            assert data["target"]["unit"] == unit
            assert (data["way"] == "angle") is (
                isinstance(run.target, Angle) and stage.purpose is not StagePurpose.LOOSEN
            )
        by_wrench = data["tool"] is not None
        assert data["clicks"] == (len(data["bolts"]) if by_wrench else 0)
        assert not by_wrench or (stage.purpose is not StagePurpose.LOOSEN and isinstance(run.target, Torque))
        if data["reading"] is None:
            assert data["verdict"] is None
            return
        assert len(data["bolts"]) == 1
        assert data["verdict"] == verdict_of(data["reading"], run, data["tolerance"])
        key = ("bolt_reading", data["step"], data["turn"], data["bolts"][0])
        assert data["verdict"] in (None, "within") or key in self.allowed, "it went on by itself"

    def _new_confirmed(self, data: Mapping[str, Any], now: float) -> None:
        self.new.add(data["group"])

    def _out_of_limits(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, TightenStep)
        bolt = data["bolt"]
        run = next(run for run in passes(step)[data["turn"] - 1][1].runs if bolt in run.bolts)
        assert data["verdict"] == verdict_of(data["reading"], run, data["tolerance"]) != "within"
        assert data["reading"]["value"] == self.number
        self.undecided[step.id, data["turn"], bolt] = data

    def _bolt_again(self, data: Mapping[str, Any], now: float) -> None:
        del self.undecided[data["step"], data["turn"], data["bolt"]]

    def _bolt_replaced(self, data: Mapping[str, Any], now: float) -> None:
        (bolt,) = data["bolts"]
        self._begins_again(data, bolt)

    def _bolts_loosened(self, data: Mapping[str, Any], now: float) -> None:
        for bolt in data["bolts"]:
            self._begins_again(data, bolt)

    def _begins_again(self, data: Mapping[str, Any], bolt: int) -> None:
        last = self.order.index(data["step"])
        if (data["group"], bolt) in self.must_loosen:
            last = len(self.order)  # what it got in later steps is gone with the rest
            self.must_loosen.discard((data["group"], bolt))
        for step in map(self.steps.__getitem__, self.order[: last + 1]):
            if not isinstance(step, TightenStep) or all(one.purpose is StagePurpose.LOOSEN for _, one in passes(step)):
                continue
            for turn, (_, stage) in enumerate(passes(step), 1):
                if any(run.group == data["group"] and bolt in run.bolts for run in stage.runs):
                    self.tightened.get((step.id, turn), set()).discard(bolt)
                    self.left_out.get((step.id, turn), set()).discard(bolt)
                    self.undecided.pop((step.id, turn, bolt), None)
                    self._right((step.id, turn, bolt), good=True)

    def _stage_done(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, TightenStep)
        assert not self.open_bolts(step, data["turn"])
        runs = passes(step)[data["turn"] - 1][1].runs
        aside = {bolt for run in runs for bolt in run.bolts if self._stands_aside(step, run.group, bolt)}
        done = self.tightened.get((step.id, data["turn"]), set())
        assert set(data["not_tightened"]) == (self.left_out.get((step.id, data["turn"]), set()) | aside) - done

    def _skipped(self, data: Mapping[str, Any], now: float) -> None:
        self._reason(data)
        if data["what"] == "step":
            self.skipped.add(data["place"])
        elif data["what"] == "bolts":
            key = (data["place"], data["turn"])
            for bolt in data["bolts"]:
                self.undecided.pop((*key, bolt), None)
            self.left_out.setdefault(key, set()).update(set(data["bolts"]) - self.tightened.get(key, set()))

    def _deviation(self, data: Mapping[str, Any], now: float) -> None:
        self._reason(data)
        self.allowed.add((data["what"], data["step"]))
        self._left_as_it_is(data)
        if data["what"] == "bolt_reading":
            (bolt,) = data["bolts"]
            gone = self.undecided.pop((data["step"], data["turn"], bolt))
            assert gone["reading"] == data["reading"]
            self.allowed.add(("bolt_reading", data["step"], data["turn"], bolt))

    def _problem(self, data: Mapping[str, Any], now: float) -> None:
        self.wrong.add(("problem", data["text"]))

    def _check_answered(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CheckStep)
        self.answered.add(step.id)
        good = data["yes"] is step.expect
        assert data["expected"] is step.expect
        self.answer_leads(step, self.leads_to(step, yes=data["yes"]), good, "answer")
        self._right(step.id, good)

    def _reading(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CheckStep)
        assert step.limits is not None
        self.answered.add(step.id)
        value = in_newton_metres(data)
        low, high = (
            value if end is None else in_newton_metres({"value": end, "unit": step.limits.unit})
            for end in (step.limits.low, step.limits.high)
        )
        assert not data["in_limits"] or low <= value <= high
        if data["unit"] == step.limits.unit:
            assert data["in_limits"] is (low <= value <= high)
        self.answer_leads(step, self.leads_to(step, value=Decimal(data["value"])), data["in_limits"], "reading")
        self._right(step.id, data["in_limits"])

    def _counted(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, CountStep)
        assert data["group"] == step.group
        assert str(data["count"]) == self.count, f"{self.count} was said, {data['count']} was kept"
        self.answered.add(step.id)
        good = data["count"] == data["expected"]
        assert good or ("count", step.id) in self.allowed
        self._right(step.id, good)

    def _part_fitted(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, FitStep)
        assert str(data["count"]) == self.count
        self.answered.add(step.id)
        good = data["count"] == step.quantity
        assert data["expected"] == step.quantity
        if good:
            self.new |= {group.id for group in self.groups.values() if group.spare == step.spare}
        assert good or ("part", step.id) in self.allowed
        self._right(step.id, good)

    def _timer_started(self, data: Mapping[str, Any], now: float) -> None:
        self.ends[data["timer"]] = now + self.timers[data["timer"]].seconds
        self.allowed -= {("open_time", step.id) for step in self.steps.values() if step.before_timer == data["timer"]}

    def _closed(self, data: Mapping[str, Any], now: float) -> None:
        self.closed = True
        self.all_told(data)
        gates = [step for step in self.order if self.steps[step].gate]
        assert all(self.passed(gate) for gate in gates), "the job was closed with a gate that is not passed"
        whole = all(self.accounted_for(step) and step not in self.skipped for step in self.order)
        whole = whole and not any(self.left_out.values())
        assert (self.left is not None) is bool(self.held or self.dropped), "what is held open is lost"
        if not whole or self.still_wrong() or self.undecided or self.left:
            self._reason(data)
            named = any(data[key] for key in data if key.startswith("open_") or key == "left_out")
            assert named or self.left, "nothing is open"
