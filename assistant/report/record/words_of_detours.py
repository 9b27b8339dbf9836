"""The words of facts about going elsewhere than on, and the order in which the work was really done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.facts import detours
from assistant.facts.steps import StepDone
from assistant.facts.taking_back import TakenBack
from assistant.journal.port import Entry
from assistant.report.record.model import How, Line
from assistant.report.record.printing import Names, describe, prints, prints_asked
from assistant.report.record.words_of_taking_back import withdrawn_words


@prints(detours.WentTo)
def _went_to(fact: detours.WentTo, names: Names) -> str:
    left = f"; stays open: {', '.join(fact.stays_open)}" if fact.stays_open else ""
    read = "; ".join(names.hazard(place, number) for place, number in fact.hazards)
    itself = " by itself, at the end of a detour" if fact.by_itself else ""
    return f"went from {fact.since} to {fact.place}{itself}{left}{f'; read on the way: {read}' if read else ''}"


_WHY: Mapping[detours.Obstacle, str] = {
    detours.Obstacle.PREPARATION: "the preparation is open",
    detours.Obstacle.NO_STEP: "there is no such open step",
    detours.Obstacle.HERE: "the job is there",
    detours.Obstacle.STOP: "the job stops before it",
    detours.Obstacle.GATE: "a gate before it is not passed",
    detours.Obstacle.NEED: "a step that it needs is not done",
    detours.Obstacle.WAIT: "a wait before it is not over",
    detours.Obstacle.LOCK_OUT: "a lock is not in",
    detours.Obstacle.LOCK_IN: "a lock is in",
    detours.Obstacle.PART_ON: "a part is on that must be off",
    detours.Obstacle.PART_OFF: "a part is off that must be on",
    detours.Obstacle.NEW_PART: "a new part is not fitted",
    detours.Obstacle.FASTENERS_IN: "fasteners are in that must be out",
    detours.Obstacle.FASTENERS_OUT: "fasteners are out that must be in",
}


@prints(detours.NotGone)
def _not_gone(fact: detours.NotGone, _: Names) -> str:
    what = f" ({fact.what})" if fact.what else ""
    first = f"; first {fact.step}" if fact.step and fact.why is not detours.Obstacle.HERE else ""
    return f"did not go to {fact.place or 'what was named'}: {_WHY[fact.why]}{what}{first}"


@prints_asked(detours.AskGoTo)
def _go_to(q: detours.AskGoTo, names: Names) -> str:
    read = "; ".join(names.hazard(place, number) or f"{place} {number}" for place, number in q.hazards)
    return f"go to {q.place} past the hazards on the way: {read}{', read again' if q.again else ''}"


def course_of(names: Names, entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[Line, ...]:
    """Return the steps in the order in which they were done, each way elsewhere, and what was taken back.

    () where nobody went elsewhere or took anything back.
    """
    if not any(isinstance(entry.fact, detours.WentTo | TakenBack) for entry in entries):
        return ()
    back = withdrawn_words(names, entries)
    return tuple(
        Line(entry.seq, entry.at_ms, _step(fact), back.get(entry.seq) or describe(fact, names), how[entry.seq])
        for entry in entries
        if isinstance(fact := entry.fact, StepDone | detours.WentTo | TakenBack)
    )


def _step(fact: StepDone | detours.WentTo | TakenBack) -> str:
    return fact.step if isinstance(fact, StepDone) else ""
