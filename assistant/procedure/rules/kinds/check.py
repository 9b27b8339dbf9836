"""The rules about checks: what is asked, and what is read."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.faults import Fault
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.limits_said import unspeakable
from assistant.procedure.model import When
from assistant.procedure.steps.check import CheckStep


@rule
def readings_can_be_said(draft: Draft) -> Iterator[Complaint]:
    """Give a reading limits that can be spoken: below 1000, with at most two decimals, or three of an inch."""
    for step in draft.steps_of(CheckStep):
        if step.limits is not None:
            for end in (step.limits.low, step.limits.high):
                fault = unspeakable(end, step.limits.unit)
                if fault is not None:
                    yield Complaint(draft.places.of(step, "limits"), fault.reason, fault.advice)


@rule
def clear_questions(draft: Draft) -> Iterator[Complaint]:
    """Ask so that yes and no have one meaning each: a question, and without a not in it."""
    for step in draft.steps_of(CheckStep):
        if step.limits is not None or not draft.places.sound(step):
            continue
        if not step.text.endswith("?"):
            text = "This check is answered with yes or no and is no question"
            hint = "ask it, such as Is the tap shut?"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)
        elif found := draft.written.wording.negative(step.text):
            text = f'A question with "{found}" in it is answered with yes by one and with no by another'
            hint = "ask without"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


@rule
def branch_fits_its_check(draft: Draft) -> Iterator[Complaint]:
    """Let a branch begin with an answer that its check can have, and that is not right; each answer leads to one."""
    for step in draft.steps_of(CheckStep):
        if not draft.places.sound(step):
            continue
        for branch in step.branches:
            told = _misfit(step, branch.when)
            if told is not None:
                yield Complaint(draft.places.of(step, f"if {branch.when.value}"), told.reason, told.advice)


def _misfit(step: CheckStep, when: When) -> Fault | None:
    """Return what is wrong with a branch that begins with ``when``; None when nothing is."""
    of = step.limits
    if when in (When.NO, When.YES):
        if of is not None:
            return Fault("This check is answered with a reading, not with yes or no", "write if outside:")
        if step.expect is (when is When.YES):
            other = "no" if when is When.YES else "yes"
            return Fault(f"The right answer of this check is {when.value}", f"write if {other}:, or another answer:")
    elif when is not When.OFFER:
        if of is None:
            return Fault("This check has no limits", "write limits:, or if no:")
        if (when is When.BELOW and of.low is None) or (when is When.ABOVE and of.high is None):
            end = "lower" if when is When.BELOW else "upper"
            return Fault(f"This check has no {end} limit", f"give limits: a {end} end, or take the branch out")
        if when is not When.OUTSIDE and step.if_outside is not None:
            return Fault("A reading there leads to if outside: as well", "keep if outside:, or if below: and if above:")
    return None
