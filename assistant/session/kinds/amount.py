"""How much is filled in at a step that does something: what is asked for, and what it really was."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from typing import Any

from assistant.events import Command
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.kinds.amount import AskAmount, Filled
from assistant.language.sentence import Sentence
from assistant.procedure.amounts import Amount
from assistant.procedure.model import Limits
from assistant.procedure.steps.do import DoStep
from assistant.session import cells, gates
from assistant.session.deciding import asking, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.here import Here, text_of
from assistant.session.kinds.heard_number import read_back_alike
from assistant.session.part import OpenKind, OpenThing
from assistant.session.states import was_done, work_acts
from assistant.session.table import Row
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def amount_at(here: Here) -> tuple[DoStep, Amount] | None:
    """Return the present step with the amount that it asks for; None where it asks for none."""
    step = here.step
    return (step, step.amount) if isinstance(step, DoStep) and step.amount is not None else None


def take_amount(d: Deciding, command: Command) -> None:
    """Take how much was filled in; one that is not within its limits is read back, and needs a reason."""
    at = amount_at(d)
    if at is None or timers.too_late(d):
        return
    filled = Quantity(command.number if command.number is not None else Decimal(0), at[1].unit)
    if _is_within(at[0], filled.value):
        if not read_back_alike(d, command, filled.unit):
            _take(d, filled)
    else:
        asking.offer(d, AskAmount(step=at[0].id, filled=filled))


def may_be_filled(_: Here, step: DoStep, value: Decimal) -> bool:
    """Return whether so much [unit of the amount] can well be filled in at a step."""
    return step.amount is not None and not cells.is_far(value, Limits(*step.bounds, step.amount.unit))


def fillable(_: Here, step: DoStep) -> Sequence[Decimal]:
    """Return the amounts [unit of the amount] that can well be filled in at a step."""
    return () if step.amount is None else cells.numbers_of(Limits(*step.bounds, step.amount.unit))


def _is_within(step: DoStep, value: Decimal) -> bool:
    low, high = step.bounds
    return (low is None or value >= low) and (high is None or value <= high)


def _take(d: Deciding, filled: Quantity) -> None:
    at = amount_at(d)
    if at is None:
        return
    step, amount = at
    d.put(
        Filled(
            step=step.id,
            value=filled.value,
            unit=filled.unit,
            amount=amount.value,
            limits=Bounds(*step.bounds),
            in_limits=_is_within(step, filled.value),
            repeated=step.id in d.state.answers,
        )
    )
    done_and_on(d, step)


def _accept(d: Deciding, question: AskAmount, reason: str) -> None:
    """Take an amount that is not as it should be, for a reason."""
    d.put(Deviated(step=question.step, what=DeviationWhat.AMOUNT, reading=question.filled, reason=reason))
    _take(d, question.filled)


# What is said and shown of it


def amount_words(t: Telling, step: DoStep) -> Sequence[str]:
    """Return how much is to be filled in, unless the text of the step says it."""
    if step.amount is None:
        return ()
    return (t.language.answers.amount(step.amount.value, step.amount.unit, step.text),)


def value_asked(t: Telling, step: DoStep) -> Sequence[str]:
    """Answer what the value of the step is."""
    if step.amount is None:
        return [t.text(Sentence.NO_VALUE)]
    return [t.language.answers.amount(step.amount.value, step.amount.unit, "")]


@tells(Filled)
def _tell(t: Telling, fact: Filled) -> None:
    t.say(t.language.answers.reading_right(fact.value, fact.unit))


def _wrong(t: Telling, question: AskAmount) -> Sequence[str]:
    at = amount_at(t)
    if at is None:
        return []
    amount = at[1]
    return t.language.answers.amount_wrong(question.filled.value, amount.value, amount.unit, gate=gates.holds(t, at[0]))


def amount_open(here: Here, step: DoStep, _: Collection[str]) -> Sequence[OpenThing]:
    """Return that the amount is not as it should be."""
    if step.amount is None or step.id not in here.state.deviations:
        return ()
    at = here.job.step_at(step)
    return (OpenThing(OpenKind.VALUE, step.id, name=lambda language: language.lists.open_amount(at)),)


def amount_shown(_: Here, step: DoStep) -> Mapping[str, Any] | None:
    """Return what a display may show of it; None where the step asks for no amount."""
    if step.amount is None:
        return None
    low, high = step.bounds
    return {
        "kind": "amount", "amount": text_of(step.amount.value), "unit": step.amount.unit, "low": text_of(low),
        "high": text_of(high),
    }  # fmt: skip


def _likely(here: Here) -> Sequence[Command]:
    at = amount_at(here)
    return () if at is None else (Command("filled", at[1].value),)


FILLING = Row(
    "filling",
    means="an amount to fill in, and to say how much it really was",
    acts={"filled": take_amount, "start_timer": timers.start_here, **work_acts(), "next": moving.next_or_ask},
    helps=("filled", "what_value", "repeat_step", "skip"),
    leads_on=lambda _: ("filled",),
    hint=Sentence.ANSWER_FILLED,
    next_goes_on=was_done,
    likely=_likely,
)

add_grant(AskAmount, _accept, anew=("filled",))
add_read_back(
    AskAmount,
    ReadBack(
        _wrong,
        summary=lambda t, question: t.language.answers.accept_reading(question.filled.value, question.filled.unit),
    ),
)
