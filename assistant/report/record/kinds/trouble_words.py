"""The words of facts about bolts that are held open, and about what was dropped."""

from __future__ import annotations

from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.kinds import trouble
from assistant.report.record.printing import Names, prints, prints_asked

WHAT = {
    TroubleWhat.BROKEN: "broke",
    TroubleWhat.STRIPPED: "stripped",
    TroubleWhat.LOST: "lost",
    TroubleWhat.WRONG: "the wrong one",
}
HOW = {
    FreedHow.REPLACED: "replaced by another one",
    FreedHow.FOUND: "found, and put in again",
    FreedHow.AGAIN: "put in again",
}


@prints(trouble.BoltHeld)
def _held(fact: trouble.BoltHeld, _: Names) -> str:
    undone = "; what it had got does not count any more" if fact.undone else ""
    opened = f"; open again: {', '.join(fact.reopened)}" if fact.reopened else ""
    return f"HELD OPEN: {fact.group} {fact.bolt}: {WHAT[fact.what]}{undone}{opened}"


@prints(trouble.BoltFreed)
def _freed(fact: trouble.BoltFreed, _: Names) -> str:
    return f"{fact.group} {fact.bolt} ({WHAT[fact.what]}): {HOW[fact.how]}"


@prints(trouble.Dropped)
def _dropped(fact: trouble.Dropped, _: Names) -> str:
    return f"MAY LIE IN THE MACHINE: {dropped_words(fact)}"


def dropped_words(fact: trouble.Dropped) -> str:
    """Return what was dropped: a bolt nobody knows which, or a lost one in whose place another came."""
    return f"the lost {fact.group} {fact.bolt}" if fact.group else f"dropped bolt no. {fact.number}"


@prints(trouble.DroppedFound)
def _found(fact: trouble.DroppedFound, _: Names) -> str:
    return f"out of the machine again: no. {fact.number} of what was dropped"


@prints(trouble.TroubleLeft)
def _left(fact: trouble.TroubleLeft, _: Names) -> str:
    bolts = [f"{one.group} {one.bolt} ({WHAT[one.what]})" for one in fact.bolts]
    dropped = [f"no. {number} of what was dropped" for number in fact.dropped]
    return f"left as it is: {'; '.join((*bolts, *dropped))}"


@prints_asked(trouble.AskBoltHeld)
def _ask_held(q: trouble.AskBoltHeld, _: Names) -> str:
    return f"hold open {q.group} {q.bolt}: {WHAT[q.trouble]}"


@prints_asked(trouble.AskBoltFreed)
def _ask_freed(q: trouble.AskBoltFreed, _: Names) -> str:
    return f"is {q.group} {q.bolt} {HOW[q.how]}"


@prints_asked(trouble.AskBoltLeft)
def _ask_left(q: trouble.AskBoltLeft, _: Names) -> str:
    return f"go on without {q.group} {q.bolt}"


@prints_asked(trouble.AskDroppedFound)
def _ask_found(q: trouble.AskDroppedFound, _: Names) -> str:
    return f"is no. {q.number} of what was dropped out of the machine"


@prints_asked(trouble.AskDroppedLeft)
def _ask_dropped(q: trouble.AskDroppedLeft, _: Names) -> str:
    return f"go on although no. {q.number} of what was dropped is not found"


@prints(trouble.HoldTakenBack)
def _hold_taken_back(fact: trouble.HoldTakenBack, _: Names) -> str:
    turned = "; turned by a further angle, to be loosened" if fact.must_loosen else ""
    return f"not held open any more: {fact.group} {fact.bolt}{turned}"
