"""What the steps that are answered with a value that is read off have in common."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from assistant.events import Command, Source
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.base import Fact
from assistant.facts.extra import AskBranch
from assistant.facts.inputs import Understood
from assistant.facts.kinds.reading import AskHeardNumber, AskReading, AskUnsureReading
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Branch, Limits, Step
from assistant.session import cells, gates
from assistant.session.alike import alike_of
from assistant.session.deciding import asking, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.here import Here, text_of
from assistant.session.places import branch_key
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """How one kind is read: the limits in the unit in which it is, and the fact of a value that is taken.

    The fact gets the value, its limits, and whether it lies within them. None: this step takes no reading.
    """

    limits: Callable[[Here, Any], Limits | None]
    put: Callable[[Deciding, Any, Quantity, Bounds, bool], None]
    branch: Callable[..., Branch | None] = lambda _here, _step, *, below: None  # noqa: ARG005
    """The branch to which a reading leads that is ``below``, or else above, its limits."""
    taken: Callable[[Deciding, Any], None] = lambda _d, _step: None
    """Is told when a reading within limits was taken."""


READING: Room[ReadingKind] = Room("reading")


def reading_limits(here: Here) -> Limits | None:
    """Return the limits of the present step, in the unit in which it is read; None where it takes no reading."""
    kind = None if here.step is None else KINDS.find(here.step, READING)
    return None if kind is None else kind.limits(here, here.step)


def is_within(value: Decimal, of: Limits) -> bool:
    """Return whether ``value`` [unit of the limits] is within limits, both ends included."""
    return (of.low is None or value >= of.low) and (of.high is None or value <= of.high)


def is_unsure(here: Here, given: Fact) -> bool:
    """Return whether ``given`` was said and heard less surely than the model asks of a reading; in noise none is."""
    return isinstance(given, Understood) and given.source is Source.VOICE and given.confidence < here.job.sure_reading


def may_be_below_zero(of: Limits) -> bool:
    """Return whether a value within limits may lie below zero."""
    least = of.low if of.low is not None else of.high
    return least is not None and least < 0


def take_reading(d: Deciding, command: Command) -> None:
    """Take a value that was read off; one out of limits is read back, and needs a reason.

    One that may have been heard wrongly, or that sounds like another that can be, is read back as well, and waits for
    "confirmed".
    """
    step, of = d.step, reading_limits(d)
    if step is None or of is None or timers.too_late(d):
        return
    value = Quantity(command.number if command.number is not None else Decimal(0), of.unit)
    if is_within(value.value, of):
        if is_unsure(d, d.given) or alike_of(d.given):
            asking.ask(d, AskUnsureReading(step=step.id, reading=value))
        else:
            _take(d, value)
        return
    branch = KINDS.part(step, READING).branch(d, step, below=of.low is not None and value.value < of.low)
    if branch is not None:
        asking.ask(d, AskBranch(step=step.id, branch=branch_key(step.id, branch), reading=value))
    else:
        asking.offer(d, AskReading(step=step.id, reading=value))


def take_reading_below(d: Deciding, command: Command) -> None:
    """Take a value below zero that was read off."""
    take_reading(d, replace(command, number=Decimal(0) - (command.number or Decimal(0))))


def may_be_read(here: Here, _step: Any, value: Decimal) -> bool:
    """Return whether ``value`` [unit of the limits] can well be read off at the present step."""
    of = reading_limits(here)
    return of is not None and not cells.is_far(value, of)


def may_be_read_below(here: Here, step: Any, value: Decimal) -> bool:
    """Return the same of a value below zero, which is said without its sign."""
    return may_be_read(here, step, -value)


MAY_BE_READ = {"reading": may_be_read, "reading_below": may_be_read_below}


def _take(d: Deciding, value: Quantity) -> None:
    """Put a value down, and go on."""
    step, of = d.step, reading_limits(d)
    if step is not None and of is not None:
        put_reading(d, step, value)
        KINDS.part(step, READING).taken(d, step)
        done_and_on(d, step)


def put_reading(d: Deciding, step: Step, value: Quantity) -> None:
    """Put a value down that was read off at ``step``, with its limits."""
    of = reading_limits(d)
    if of is not None:
        KINDS.part(step, READING).put(d, step, value, Bounds(of.low, of.high), is_within(value.value, of))


def _accept(d: Deciding, question: AskReading, reason: str) -> None:
    """Take a value out of limits, for a reason."""
    d.put(Deviated(step=question.step, what=DeviationWhat.READING, reading=question.reading, reason=reason))
    _take(d, question.reading)


def _heard_right(d: Deciding, question: AskUnsureReading, _: str) -> None:
    _take(d, question.reading)


# What is said and shown of it


def reading_words(t: Telling) -> Sequence[str]:
    """Return what is asked for: the limits, and how to answer."""
    of = reading_limits(t)
    if of is None:
        return []
    below = t.prompt(Sentence.ANSWER_BELOW) if may_be_below_zero(of) else ""
    return [t.language.answers.limits(of.low, of.high, of.unit), t.prompt(Sentence.ANSWER_READING), below]


def limits_asked(t: Telling, _: Any) -> Sequence[str]:
    """Answer what the value of the step is."""
    of = reading_limits(t)
    return [t.text(Sentence.NO_VALUE) if of is None else t.language.answers.limits(of.low, of.high, of.unit)]


def reading_shown(here: Here) -> Mapping[str, Any] | None:
    """Return what a display may show of it; None where the step takes no reading."""
    of = reading_limits(here)
    if of is None:
        return None
    return {"kind": "reading", "unit": of.unit, "low": text_of(of.low), "high": text_of(of.high)}


def _asked(t: Telling, question: AskReading) -> Sequence[str]:
    of, given = reading_limits(t), question.reading
    if of is None:
        return []
    below = of.low is not None and given.value < of.low
    edge = of.low if below else of.high
    return t.language.answers.reading_wrong(
        given.value, edge or Decimal(0), of.unit, below=below, gate=gates.holds(t, t.step)
    )


add_grant(AskReading, _accept, anew=("reading", "reading_below"))
add_read_back(
    AskReading,
    ReadBack(
        _asked,
        summary=lambda t, question: t.language.answers.accept_reading(question.reading.value, question.reading.unit),
    ),
)
add_grant(AskUnsureReading, _heard_right, anew=("reading", "reading_below"))
add_read_back(
    AskUnsureReading,
    ReadBack(lambda t, question: t.language.answers.reading_unsure(question.reading.value, question.reading.unit)),
)


def _number_unsure(t: Telling, question: AskHeardNumber) -> Sequence[str]:
    of = t.language.answers
    if question.intent == "count":
        return of.count_unsure(int(question.number))
    if question.intent == "filled":
        return of.amount_unsure(question.number, question.unit)
    return of.reading_unsure(question.number, question.unit)


add_read_back(AskHeardNumber, ReadBack(_number_unsure))
