"""What a strict foreman would hold against gates, second people and amounts; part of :mod:`tests.session.ledger`."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.procedure.model import Step
from assistant.procedure.steps.do import DoStep


class SecondLedger:
    """Gates are passed by their right answer, or by somebody else than the operator, by name and with a word."""

    steps: dict[str, Step]
    intent: str
    done: set[str]
    skipped: set[str]
    answered: set[str]
    allowed: set[tuple[Any, ...]]

    def __init__(self) -> None:
        self.operator = self.second = ""
        self.gates_held: set[str] = set()
        self.released: set[str] = set()
        self.witnessed: set[str] = set()

    def _reason(self, data: Mapping[str, Any]) -> None:
        raise NotImplementedError

    def _right(self, what: Any, good: bool) -> None:
        raise NotImplementedError

    def passed(self, gate: str) -> bool:
        """Whether a gate got its right answer and its witness, or a second person released it."""
        if gate in self.gates_held:
            return False
        seen = not self.steps[gate].witness or gate in self.witnessed
        return (gate in self.skipped and gate in self.released) or (gate in self.done and seen)

    def _gate_held(self, data: Mapping[str, Any], now: float) -> None:
        assert self.steps[data["step"]].gate
        self.gates_held.add(data["step"])
        self.released.discard(data["step"])
        self.witnessed.discard(data["step"])

    def _second_asked(self, data: Mapping[str, Any], now: float) -> None:
        self.second = ""
        if data["what"] == "witness":
            self.witnessed.discard(data["step"])

    def _second_named(self, data: Mapping[str, Any], now: float) -> None:
        assert data["name"].casefold() != self.operator.casefold(), "the operator is no second person"
        self.second = data["name"]

    def _gate_released(self, data: Mapping[str, Any], now: float) -> None:
        assert self.intent == "i_release", f"a gate was released by {self.intent}"
        assert self.second
        assert data["name"] == self.second
        assert data["operator"] == self.operator
        self._reason(data)
        self.released.add(data["step"])
        self.gates_held.discard(data["step"])
        if data["question"] is None:
            self.witnessed.add(data["step"])

    def _witnessed(self, data: Mapping[str, Any], now: float) -> None:
        assert self.intent == "i_have_seen", f"a step was witnessed by {self.intent}"
        assert self.second
        assert data["name"] == self.second
        assert data["step"] in self.done
        self.witnessed.add(data["step"])

    def _operators_named(self, data: Mapping[str, Any], now: float) -> None:
        self.operator = self.operator or data["names"].split(",")[0].strip()

    def _handed_over(self, data: Mapping[str, Any], now: float) -> None:
        self.operator = data["taken_by"]

    def _filled(self, data: Mapping[str, Any], now: float) -> None:
        step = self.steps[data["step"]]
        assert isinstance(step, DoStep)
        assert step.amount is not None
        assert (Decimal(data["amount"]), data["unit"]) == (step.amount.value, step.amount.unit)
        self.answered.add(step.id)
        low, high = (step.limits.low, step.limits.high) if step.limits else (None, None)
        if step.limits is None:  # ten percent either way
            low, high = step.amount.value * 9 / 10, step.amount.value * 11 / 10
        good = (low is None or Decimal(data["value"]) >= low) and (high is None or Decimal(data["value"]) <= high)
        assert data["in_limits"] is good
        assert good or ("amount", step.id) in self.allowed
        self._right(step.id, good)
