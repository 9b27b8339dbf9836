"""The rules about checks: what is asked, and what is read."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.steps.check import CheckStep


@rule
def readings_can_be_said(draft: Draft) -> Iterator[Complaint]:
    """Give a reading limits that can be spoken: from -999.99 to 999.99 with at most two decimals."""
    for step in draft.steps_of(CheckStep):
        if step.limits is not None:
            for end in (step.limits.low, step.limits.high):
                if end is not None and not (abs(end) <= Decimal("999.99") and end == round(end, 2)):
                    text = f"{end} {step.limits.unit} cannot be spoken as a reading"
                    hint = "choose a unit that makes it a number from -999.99 to 999.99 with at most two decimals"
                    yield Complaint(draft.places.of(step, "limits"), text, hint)


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
