"""What is said of steps: that they are done, the locks against them, and what they need and is missing."""

from __future__ import annotations

from assistant.facts.steps import StepDone
from assistant.language.sentence import Sentence
from assistant.procedure.model import Step
from assistant.session import locks, needs
from assistant.session.telling import troubles
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.preparing import card_things


@tells(StepDone)
def _done(t: Telling, fact: StepDone) -> None:
    """Say that the timer of a step that was done again was not begun again by that."""
    step = t.before.step
    if not fact.repeated or step is None or not step.starts_timer:
        return
    timer = t.before.state.timers.get(step.starts_timer)
    if timer is None or timer.visit != t.before.state.visit:
        t.fixed(Sentence.NOT_STARTED_AGAIN)


def lock_words(t: Telling, step: Step) -> list[str]:
    """Return what must be said before ``step`` is done: of locks still in, or not in, and of bolts in what it turns."""
    loose, missing = locks.wrong(t, step)
    return [
        t.language.lists.lock_in([t.job.items[one].name for one in loose], turning=bool(step.turns)),
        t.language.lists.lock_missing([t.job.items[one].name for one in missing]),
        *(troubles.loose_words(t) if step.turns else ()),
    ]


def needs_words(t: Telling, step: Step) -> list[str]:
    """Return a reminder of what ``step`` needs and is missing, or nothing."""
    names = [card_things(t.job, card, t.language)[number - 1] for card, number in needs.still_missing(t, step)]
    return t.language.lists.missing(names, [], still=True)
