"""A step that is done, and then says "next"."""

from __future__ import annotations

from assistant.events import Command
from assistant.language.sentence import Sentence
from assistant.procedure.steps.do import DoStep
from assistant.session.deciding import timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.photos import next_without
from assistant.session.deciding.steps import done_and_on
from assistant.session.kinds import amount
from assistant.session.kinds.put_in_shown import proposed_at
from assistant.session.kinds.shims_words import put_in_words
from assistant.session.packs import put_in
from assistant.session.part import StepPart, add_kind
from assistant.session.states import work_acts
from assistant.session.table import Row


def do_next(d: Deciding, _: Command) -> None:
    """Take the step as done."""
    if d.step is not None and not timers.too_late(d) and not next_without(d):
        if isinstance(d.step, DoStep):
            put_in(d, d.step)
        done_and_on(d, d.step)


DOING = Row(
    "doing",
    means="one thing to do",
    acts={"start_timer": timers.start_here, **work_acts(), "next": do_next},
    helps=("next", "repeat_step", "go_back", "skip"),
    hint=Sentence.HINT_DONE,
)

add_kind(
    DoStep,
    StepPart(
        rows=(DOING, amount.FILLING),
        standing=lambda _here, step: amount.FILLING.name if step.amount else DOING.name,
        words=lambda t, step: (*amount.amount_words(t, step), *put_in_words(t, step)),
        answer=lambda t, step: t.text(Sentence.ANSWER_FILLED) if step.amount else "",
        answers={"what_value": amount.value_asked},
        open=amount.amount_open,
        numbers=amount.fillable,
        may_be={"filled": amount.may_be_filled},
        ask=amount.amount_shown,
        picture=proposed_at,
    ),
)
