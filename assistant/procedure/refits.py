"""What is off and not back on, by the words of the steps that took it off and of those that put it back. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from assistant.procedure.model import CountStep, DoStep, FitStep, Step, TightenStep
from assistant.procedure.wording import put_on, removed


def parts_off(steps: Sequence[Step], done: Collection[str]) -> list[str]:
    """Return the parts that a step of ``done`` (ids) took off and that a later one, not done yet, puts back.

    They are named as in the step that took them off, in the order in which they came off.
    """
    found: dict[str, None] = {}
    for place, step in enumerate(steps):
        if not isinstance(step, DoStep) or step.id not in done or step.not_refitted:
            continue
        later = steps[place + 1 :]
        named = [other for other in later if other.refits == step.id]
        for part in removed(step.text):
            puts = named or [other for other in later if _puts(other) and any(map(part.same, put_on(other.text)))]
            if puts and not any(other.id in done for other in puts):
                found[part.words] = None
    return list(found)


def _puts(step: Step) -> bool:
    return isinstance(step, DoStep | CountStep | FitStep | TightenStep)
