"""What the strict foreman holds against ways elsewhere than on: nothing is jumped over that is not written down."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.procedure.model import Step


class Ways:
    """The part of the ledger that looks at where somebody went; it shares what the ledger knows."""

    order: list[str]
    steps: dict[str, Step]
    done: set[str]
    skipped: set[str]
    acknowledged: set[tuple[str, int]]
    intent: str

    def begin_ways(self) -> None:
        self.jumped: set[str] = set()
        """Steps that somebody left open by going past them, as it is written down."""
        self.way_read: set[tuple[str, int]] = set()
        self.in_turn: list[Step] = []

    def move_locks(self, step: Step) -> None:
        self.in_turn = [*(one for one in self.in_turn if one is not step), step]

    @property
    def locks(self) -> set[str]:
        """The locks that are in, by the steps that are done and were not taken back."""
        held: set[str] = set()
        for step in self.in_turn:
            if step.id in self.done:
                held.discard(step.unlock or "")
                held |= {step.lock} - {None}
        return held

    def all_told(self, data: Mapping[str, Any]) -> None:
        """Closing tells every step that is open."""
        left = [step for step in self.order if not self.settled(step)]
        assert set(left) <= set(data["open_steps"]), "what was jumped over is not told at the end"

    def settled(self, step_id: str) -> bool:
        """Whether a step is done, or left out with a reason."""
        return step_id in self.skipped or (step_id in self.done and not self.begun_again(self.steps[step_id]))

    row: list[str]

    def index_in_row(self, place: str) -> int | None:
        raise NotImplementedError

    def begun_again(self, step: Step) -> bool:
        raise NotImplementedError

    def _went_to(self, data: Mapping[str, Any], now: float) -> None:
        """Going elsewhere does nothing; every open step on the way is written down, and its hazards were read."""
        since, place = (self.index_in_row(data[key]) for key in ("since", "place"))
        row = self.row[since or 0 : place or 0]
        between = [step for step in row if step in self.order and not self.settled(step)]
        assert list(data["stays_open"]) == between, "a step was jumped over and nothing says so"
        self.jumped.update(between)
        self.way_read |= {(step, number) for step, number in data["hazards"]}
        for step in between:
            for number in range(1, len(self.steps[step].hazards) + 1):
                known = self.acknowledged | self.way_read
                assert data["by_itself"] or (step, number) in known, f"hazard {number} of {step} is on the way, unread"
        if self.intent == "go_to" and data["place"] in self.steps:
            self._may_be_gone_to(self.steps[data["place"]])

    def _may_be_gone_to(self, step: Step) -> None:
        """Nobody goes by name to an open step whose lock is not as it needs it, or whose needs are open."""
        if step.id in self.done:
            return
        assert set(step.needs or ()) <= self.done, f"{step.id} was gone to without what it needs"
        assert set(step.against) - {step.lock} <= self.locks, f"{step.id} counts on a lock that is not in"
        assert not step.turns or self.locks <= {*step.against, step.unlock}, f"{step.id} turns against a lock"
