"""What a strict foreman would hold against branches and extra work; part of :mod:`tests.session.ledger`.

A branch belongs to the job when an answer led into it, or when somebody granted it; its steps are owed behind the step
that leads there, and those of a branch that is shut are owed by nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.procedure.model import Branch, Onward, Procedure, Step, When
from assistant.procedure.steps.check import CheckStep

OF_BRANCHES = {"branch_taken", "branch_left", "branch_ended", "stop_passed", "extra_asked", "extra_granted"}
OF_BRANCHES |= {"extra_declined", "extra_begun", "extra_done"}
READ_BACK = {"stop_passed", "extra_granted", "extra_done"}


class BranchLedger:
    """Knows by the entries alone which branches are open, which work was granted, and where the job stops."""

    steps: dict[str, Step]
    order: list[str]
    jumped: set[str]
    answered: set[str]
    done: set[str]
    skipped: set[str]
    acknowledged: set[tuple[str, int]]
    allowed: set[tuple[Any, ...]]
    wrong: set[Any]
    intent: str

    def __init__(self, procedure: Procedure) -> None:
        self.row: list[str] = []
        """Keys of all steps, offers and stops in the order of the file, those of branches behind their step."""
        self.within: dict[str, tuple[str, ...]] = {}
        self.branches: dict[str, Branch] = {}
        self._enter((*procedure.steps, *procedure.closing), ())
        self.open: dict[str, int] = {}
        self.granted: set[str] = set()
        self.work: set[str] = set()
        self.past_stops: set[str] = set()
        self.led: dict[str, str] = {}
        """By step, the branch to which its last answer leads."""
        self.taking_back = False
        self.shut: dict[str, int] = {}
        """The round in which a branch was when another answer shut it."""
        self.place = ""
        self.order = self._owed()

    def _enter(self, steps: Sequence[Step], around: tuple[str, ...]) -> None:
        for step in steps:
            self.row.append(step.id)
            self.within[step.id] = around
            for branch in step.branches:
                key = f"{step.id}:{branch.when.value}"
                self.branches[key] = branch
                self.row.append(f"{key}:ask")
                self._enter(branch.steps, (*around, key))
                self.row.append(f"{key}:stop")

    def _reason(self, data: Mapping[str, Any]) -> None:
        raise NotImplementedError

    def accounted_for(self, step_id: str) -> bool:
        raise NotImplementedError

    def _owed(self) -> list[str]:
        """The steps that belong to the job now, in order."""
        return [key for key in self.row if key in self.within and all(one in self.open for one in self.within[key])]

    def steps_of(self, branch: str) -> list[str]:
        """All steps of a branch, and of branches in it."""
        return [key for key, around in self.within.items() if branch in around]

    def owed_of(self, branch: str) -> list[str]:
        """The steps of a branch that belong to the job now."""
        return [key for key in self.order if branch in self.within[key]]

    def index_in_row(self, place: str) -> int | None:
        """Where a place stands in the row; a card of a branch where its offer does."""
        if place == "end":
            return len(self.row)
        if place in self.row:
            return self.row.index(place)
        key, _, _ = place.rpartition(":")
        return self.row.index(f"{key}:ask") if key in self.branches else None

    def stops_before(self, step: str) -> Iterator[str]:
        """The ends of open branches that stop the job before a step, and were not gone past with a reason."""
        for key in self.row[: self.row.index(step)]:
            branch, _, what = key.rpartition(":")
            if what == "stop" and self.is_stopped(branch) and key not in self.past_stops:
                yield key

    def is_stopped(self, branch: str) -> bool:
        """Whether an open branch stops the job behind it."""
        around = self.within[branch.rpartition(":")[0]]
        return self.branches[branch].then is Onward.STOP and all(one in self.open for one in (*around, branch))

    # What an answer leads to

    def leads_to(self, step: CheckStep, *, yes: bool | None = None, value: Decimal | None = None) -> str | None:
        """The branch to which an answer leads by the procedure."""
        whens: set[When] = set()
        if yes is not None:
            whens = {When.YES if yes else When.NO}
        elif value is not None and step.limits is not None:
            if step.limits.low is not None and value < step.limits.low:
                whens = {When.BELOW, When.OUTSIDE}
            elif step.limits.high is not None and value > step.limits.high:
                whens = {When.ABOVE, When.OUTSIDE}
        found = (f"{step.id}:{branch.when.value}" for branch in step.branches if branch.when in whens)
        return next(found, None)

    def answer_leads(self, step: CheckStep, branch: str | None, good: bool, what: str) -> None:
        """Take down where an answer leads; one that is not the right one leads somewhere, or has a reason."""
        led = branch is not None and self.intent == "confirmed" and (what, step.id) not in self.allowed
        self.led.pop(step.id, None)
        if branch is not None and led:
            self.led[step.id] = branch
        assert good or led or (what, step.id) in self.allowed, f"{step.id} has a wrong answer without a reason"

    def still_wrong(self) -> set[Any]:
        """What is wrong but for answers that led to work of their own, which is open itself until it is done."""
        return {what for what in self.wrong if not (isinstance(what, str) and self._put_right(what))}

    def _put_right(self, step: str) -> bool:
        branch = self.led.get(step)
        if branch is None or branch not in self.open:
            return False
        return self.branches[branch].then is Onward.GO_ON

    # Facts

    def _taken_back(self, data: Mapping[str, Any], now: float) -> None:
        self.taking_back = True

    def _arrived(self, data: Mapping[str, Any], now: float) -> None:
        self.place = data["place"]
        around = self.within.get(self.place, ())
        assert all(one in self.open for one in around), f"the job is at {self.place}, in a branch that is not open"

    def _branch_taken(self, data: Mapping[str, Any], now: float) -> None:
        key = data["branch"]
        step, branch = key.rpartition(":")[0], self.branches[key]
        again = self.taking_back and self.shut.get(key) == data["round"]  # the answer that shut it is taken back
        if branch.extra:
            assert key in self.granted, f"{key} opened and nobody granted it"
        elif not again:
            assert self.led.get(step) == key, f"{key} opened and no answer leads there"
        if data["round"] > 1 and not again:
            assert data["round"] == self.open.get(key, 0) + 1
            assert all(map(self.accounted_for, self.owed_of(key))), f"{key} begins anew with steps open"
            assert set(data["steps"]) == set(self.steps_of(key))
            self._begin_anew(set(data["steps"]), key)
        self.open[key] = data["round"]
        self.order = self._owed()
        if branch.extra and self.place != f"{key}:ask":
            self.jumped |= set(self.steps_of(key))  # granted while the work was elsewhere: it waits until the end

    def _begin_anew(self, steps: set[str], key: str) -> None:
        self.done -= steps
        self.answered -= steps
        self.skipped -= steps
        self.jumped -= steps
        self.wrong -= steps
        self.allowed = {one for one in self.allowed if one[1] not in steps}
        self.acknowledged = {one for one in self.acknowledged if one[0] not in steps}
        self.past_stops.discard(f"{key}:stop")

    def _branch_left(self, data: Mapping[str, Any], now: float) -> None:
        key = data["branch"]
        begun = {one for one in self.steps_of(key) if one in self.done or one in self.skipped}
        assert not begun, f"{key} was shut again after {begun} was done"
        self.shut[key] = self.open.pop(key, 0)
        self.work.discard(key)
        self.granted.discard(key)
        self.order = self._owed()

    def _branch_ended(self, data: Mapping[str, Any], now: float) -> None:
        key, step = data["branch"], data["step"]
        assert key in self.open, f"{key} ended and was not open"
        assert key.rpartition(":")[0] == step
        for one in self.owed_of(key):
            assert self.accounted_for(one) or one in self.jumped, f"{key} ended and {one} is open"
        if self.branches[key].then is Onward.STOP and self.place != f"{key}:stop":
            assert f"{key}:stop" in self.past_stops, f"{key} stops the job, and it went on"
        if data["how"] == "again":
            assert self.branches[key].then is Onward.AGAIN
            self.done.discard(step)
            self.answered.discard(step)

    def _stop_passed(self, data: Mapping[str, Any], now: float) -> None:
        self._reason(data)
        assert self.is_stopped(data["place"].rpartition(":")[0])
        self.past_stops.add(data["place"])

    def _extra_asked(self, data: Mapping[str, Any], now: float) -> None:
        self.work.add(data["work"])
        self.granted.discard(data["work"])

    def _finding(self, data: Mapping[str, Any], now: float) -> None:
        self.work.add(data["work"])

    def _extra_granted(self, data: Mapping[str, Any], now: float) -> None:
        assert data["work"] in self.work, "what nobody asked for was granted"
        assert data["name"] or data["role"] != "person"
        self.granted.add(data["work"])

    def _extra_declined(self, data: Mapping[str, Any], now: float) -> None:
        assert data["work"] in self.work
        assert data["work"] not in self.open, "work was declined that is open"
        self.granted.discard(data["work"])

    def _extra_begun(self, data: Mapping[str, Any], now: float) -> None:
        assert data["work"] in self.granted, "work was begun that nobody granted"
        assert data["work"] in self.open

    def _extra_done(self, data: Mapping[str, Any], now: float) -> None:
        assert data["work"] in self.granted, "work is done that nobody granted"
