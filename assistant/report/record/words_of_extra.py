"""The words of facts about branches, extra work and findings."""

from __future__ import annotations

from assistant.facts import correcting, extra
from assistant.report.record.printing import Names, prints, prints_asked
from assistant.report.record.values import amount_text

ROLES = {
    extra.GrantRole.CUSTOMER: "the customer", extra.GrantRole.MANAGER: "the manager",
    extra.GrantRole.OFFICE: "the office", extra.GrantRole.PERSON: "a person",
}  # fmt: skip
GRANT_WAYS = {
    extra.GrantWay.TELEPHONE: "by telephone", extra.GrantWay.IN_PERSON: "in person", extra.GrantWay.PAGE: "on the page",
}  # fmt: skip
SEVERITIES = {
    extra.Severity.BEFORE_RUNNING: "before it runs",
    extra.Severity.NEXT_SERVICE: "at the next service",
    extra.Severity.WATCH: "to be watched",
}
_ENDS = {
    extra.BranchEnd.ON: "on behind its step",
    extra.BranchEnd.AGAIN: "its check is asked again",
    extra.BranchEnd.BACK: "back to where it was begun from",
}


def who_granted(role: extra.GrantRole, name: str) -> str:
    """Return who granted extra work."""
    return name or ROLES[role]


@prints(extra.BranchTaken)
def _taken(fact: extra.BranchTaken, names: Names) -> str:
    again = f" (round {fact.round})" if fact.round > 1 else ""
    return f"branch opened: {names.work(fact.branch)}{again}"


@prints(extra.BranchLeft)
def _left(fact: extra.BranchLeft, names: Names) -> str:
    return f"branch shut again, nothing of it was done: {names.work(fact.branch)}"


@prints(extra.BranchEnded)
def _ended(fact: extra.BranchEnded, names: Names) -> str:
    return f"end of the branch {names.work(fact.branch)}: {_ENDS[fact.how]}"


@prints(extra.StopPassed)
def _stop_passed(fact: extra.StopPassed, _: Names) -> str:
    return f"went on although the job stops at {fact.place}: {fact.reason}"


@prints(extra.ExtraAsked)
def _asked(fact: extra.ExtraAsked, names: Names) -> str:
    return f"extra work {fact.number} waits for an answer: {names.work(fact.work)}"


@prints(extra.GrantBegun)
def _grant_begun(fact: extra.GrantBegun, names: Names) -> str:
    return f"said to be granted: {names.work(fact.work)}"


@prints(extra.GrantBy)
def _grant_by(fact: extra.GrantBy, _: Names) -> str:
    return f"granted by: {who_granted(fact.role, fact.name)}"


@prints(extra.ExtraGranted)
def _granted(fact: extra.ExtraGranted, names: Names) -> str:
    by = f"{who_granted(fact.role, fact.name)}, {GRANT_WAYS[fact.way]}"
    return f"extra work {fact.number} granted by {by}: {names.work(fact.work)}"


@prints(extra.ExtraDeclined)
def _declined(fact: extra.ExtraDeclined, names: Names) -> str:
    return f"extra work {fact.number} declined: {names.work(fact.work)}"


@prints(extra.ExtraBegun)
def _begun(fact: extra.ExtraBegun, names: Names) -> str:
    return f"went to the extra work {names.work(fact.work)}; back to {fact.back_to} behind it"


@prints(extra.ExtraDone)
def _done(fact: extra.ExtraDone, _: Names) -> str:
    return f"extra work {fact.number} is done"


@prints(extra.FindingTaken)
def _finding_taken(fact: extra.FindingTaken, _: Names) -> str:
    return f"found: {fact.text}{'' if fact.complete else ' (not to its end)'}"


@prints(extra.FindingPlaced)
def _finding_placed(fact: extra.FindingPlaced, _: Names) -> str:
    return f"it is at {fact.step}"


@prints(extra.FindingKept)
def _finding(fact: extra.FindingKept, _: Names) -> str:
    silent = "; nobody said how bad it is" if fact.silent_ms else ""
    return f"finding {fact.number} ({SEVERITIES[fact.severity]}{silent}): {fact.text}"


@prints(correcting.FindingCorrected)
def _finding_corrected(fact: correcting.FindingCorrected, _: Names) -> str:
    cut = "" if fact.complete else " (not to its end)"
    return f"finding {fact.number} corrected ({SEVERITIES[fact.severity]}): {fact.text}{cut}"


@prints(correcting.FindingAsBefore)
def _finding_as_before(fact: correcting.FindingAsBefore, _: Names) -> str:
    return f"finding {fact.number} as before ({SEVERITIES[fact.severity]}): {fact.text}"


@prints(extra.ExtraMinutes)
def _minutes(fact: extra.ExtraMinutes, names: Names) -> str:
    return f"extra work {fact.number} takes about {fact.minutes} min, as was said: {names.work(fact.work)}"


@prints(extra.FindingBegun)
def _finding_begun(fact: extra.FindingBegun, names: Names) -> str:
    return f"extra work {fact.number} is worked on: {names.work(fact.work)}"


@prints(extra.FindingLeft)
def _finding_left(fact: extra.FindingLeft, names: Names) -> str:
    return f"extra work {fact.number} is worked on no more: {names.work(fact.work)}"


@prints(extra.ExtraLeftOpen)
def _left_open(fact: extra.ExtraLeftOpen, names: Names) -> str:
    asked = [f"not answered: {names.work(one)}" for one in fact.asked]
    granted = [f"granted and not done: {names.work(one)}" for one in fact.granted]
    return f"extra work left open: {'; '.join((*asked, *granted))}"


@prints_asked(extra.AskBranch)
def _ask_branch(q: extra.AskBranch, names: Names) -> str:
    answer = f"reading {amount_text(q.reading)}" if q.reading is not None else f"answer {'yes' if q.yes else 'no'}"
    return f"take the {answer} at {q.step}, which leads to: {names.work(q.branch)}"


@prints_asked(extra.AskPastStop)
def _ask_past_stop(q: extra.AskPastStop, _: Names) -> str:
    return f"go on although the job stops at {q.place}"


@prints_asked(extra.AskGrant)
def _ask_grant(q: extra.AskGrant, names: Names) -> str:
    return f"is extra work {q.number} granted {GRANT_WAYS[q.way]}: {names.work(q.work)}"


@prints_asked(extra.AskDecline)
def _ask_decline(q: extra.AskDecline, names: Names) -> str:
    return f"is extra work {q.number} declined: {names.work(q.work)}"


@prints_asked(extra.AskDone)
def _ask_done(q: extra.AskDone, names: Names) -> str:
    return f"is extra work {q.number} done: {names.work(q.work)}"


@prints_asked(extra.AskFinding)
def _ask_finding(q: extra.AskFinding, _: Names) -> str:
    return f"take the finding down, {SEVERITIES[q.severity]}"
