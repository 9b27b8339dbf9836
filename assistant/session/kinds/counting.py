"""What the steps that are answered with a number of pieces have in common: fasteners that are counted, new parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.events import Command
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.kinds.counting import AskCount, Miscounted
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS, Room
from assistant.session import gates
from assistant.session.alike import alike_of
from assistant.session.deciding import asking, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.here import Here
from assistant.session.kinds.heard_number import read_back_alike
from assistant.session.states import was_done, work_acts
from assistant.session.table import Row
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling


@dataclass(frozen=True, slots=True)
class CountingKind:
    """How one kind counts: how many there should be, what a wrong number is, and the fact of a number that is taken.

    ``instead`` may ask something else before a number is looked at; it returns whether it did.
    """

    expected: Callable[[Here, Any], int]
    wrong: DeviationWhat
    put: Callable[[Deciding, Any, int], None]
    instead: Callable[[Deciding, Any, int], bool] = lambda _deciding, _step, _number: False
    known: Callable[[Telling, Any], str] = lambda _telling, _step: ""
    """Says why a number may not agree, as far as that is known."""


COUNTING: Room[CountingKind] = Room("counting")


def take_count(d: Deciding, command: Command) -> None:
    """Take a number of pieces; another than the expected one is read back, and needs a reason.

    One that sounds like another is read back first: the expected one if a smaller number can be meant, and a wrong one
    if the expected one can be.
    """
    step = d.step
    if step is None or timers.too_late(d):
        return
    kind, number = KINDS.part(step, COUNTING), int(command.number or 0)
    expected = kind.expected(d, step)
    if (number == expected or expected in alike_of(d.given)) and read_back_alike(d, command):
        return
    if kind.instead(d, step, number):
        return
    if number == expected:
        _take(d, number)
        return
    d.put(Miscounted(step=step.id, count=number))
    asking.offer(d, AskCount(step=step.id, count=number))


def may_be_counted(here: Here, step: Any, value: Decimal) -> bool:
    """Return whether so many can have been counted: no more than there are. Who has none counts none."""
    return value == int(value) and 0 < value <= KINDS.part(step, COUNTING).expected(here, step)


def countable(here: Here, step: Any) -> Sequence[Decimal]:
    """Return the numbers that can have been counted at a step: all of them alike, none is told by being likelier."""
    return [Decimal(number) for number in range(KINDS.part(step, COUNTING).expected(here, step) + 1)]


def _take(d: Deciding, number: int) -> None:
    """Put a number down, and go on."""
    step = d.step
    if step is not None:
        KINDS.part(step, COUNTING).put(d, step, number)
        done_and_on(d, step)


def _accept(d: Deciding, question: AskCount, reason: str) -> None:
    """Take a number that does not agree, for a reason."""
    if d.step is not None:
        wrong = KINDS.part(d.step, COUNTING).wrong
        d.put(Deviated(step=d.step.id, what=wrong, count=question.count, reason=reason))
        _take(d, question.count)


def tells_count(here: Here) -> bool:
    """Return whether the number that is expected here may be told: not before the second wrong one.

    Who knows the number does not count.
    """
    return here.step is not None and here.state.miscounts.get(here.step.id, 0) >= 2


def counting_row(name: str, means: str, hint: Sentence) -> Row:
    """Return the state in which such a step is answered."""
    return Row(
        name,
        means=means,
        acts={"count": take_count, "start_timer": timers.start_here, **work_acts(), "next": moving.next_or_ask},
        helps=("count", "note", "repeat_step", "skip"),
        hint=hint,
        next_goes_on=was_done,
        leads_on=lambda _: ("count",),
        likely=_likely,
    )


def _likely(here: Here) -> Sequence[Command]:
    step = here.step
    return () if step is None else (Command("count", Decimal(KINDS.part(step, COUNTING).expected(here, step))),)


def how_many_asked(t: Telling, step: Any) -> Sequence[str]:
    """Answer how many pieces there should be, once somebody counted."""
    if not tells_count(t):
        return [t.text(Sentence.COUNT_FIRST)]
    return [t.language.answers.how_many(KINDS.part(step, COUNTING).expected(t, step))]


def _words(t: Telling, question: AskCount) -> Sequence[str]:
    step = t.step
    told = KINDS.part(step, COUNTING).expected(t, step) if step is not None and tells_count(t) else None
    known = KINDS.part(step, COUNTING).known(t, step) if step is not None else ""
    return [known, *t.language.answers.count_wrong(question.count, told, gate=gates.holds(t, t.step))]


add_grant(AskCount, _accept, anew=("count",))
add_read_back(AskCount, ReadBack(_words, summary=lambda t, question: t.language.answers.accept_count(question.count)))
