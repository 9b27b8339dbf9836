"""What the session knows of the step: its fact, its question, its state, and how it is worked through."""

from __future__ import annotations

from decimal import Decimal

from msgspec.structs import replace

from assistant.events import Command
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Ask
from assistant.facts.steps import StepAnswer
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Limits
from assistant.session.deciding import asking, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.evolving.steps import deviates
from assistant.session.evolving.table import takes_up
from assistant.session.here import Here
from assistant.session.kinds import reading
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.state import State
from assistant.session.states import was_done, work_acts
from assistant.session.table import Row
from tests.kinds.flush_step import FlushStep


class Flushed(StepAnswer, frozen=True, kw_only=True):
    """So many litres went through; ``least`` are those that had to."""

    KIND = "flushed"
    litres: Decimal
    least: Decimal

    @property
    def is_right(self) -> bool:
        """Whether enough went through."""
        return self.litres >= self.least


class AskMuch(Ask, frozen=True):
    """Can so many litres be right."""

    step: str
    litres: Decimal


@takes_up(Flushed)
def _flushed(state: State, fact: Flushed) -> State:
    state = replace(state, more={**state.more, fact.step: str(fact.litres)})
    return deviates(state, fact.step, is_so=not fact.is_right)


def _limits(_: Here, step: FlushStep) -> Limits:
    return Limits(step.litres, None, "l")


def _put(d: Deciding, step: FlushStep, value: Quantity, _limits: Bounds, _inside: bool) -> None:
    again = step.id in d.state.more
    d.put(Flushed(step=step.id, litres=value.value, least=step.litres, repeated=again))


def _reading(d: Deciding, command: Command) -> None:
    """Take the litres; ten times as many as needed are asked about, by a question of our own."""
    step, litres = d.step, command.number or Decimal(0)
    if isinstance(step, FlushStep) and litres > 10 * step.litres:
        asking.ask(d, AskMuch(step.id, litres))
    else:
        reading.take_reading(d, command)


def _much(d: Deciding, question: AskMuch, _reason: str) -> None:
    step = d.step
    assert isinstance(step, FlushStep)
    _put(d, step, Quantity(question.litres, "l"), Bounds(step.litres), True)
    done_and_on(d, step)


def _open(here: Here, step: FlushStep, _named: object) -> tuple[OpenThing, ...]:
    if step.id not in here.state.deviations:
        return ()
    at = here.job.step_at(step)
    return (OpenThing(OpenKind.VALUE, step.id, name=lambda language: language.lists.open_value(at)),)


def attach() -> None:
    """Make the step known to the session."""
    row = Row(
        "flushing",
        acts={
            "reading": _reading,
            "start_timer": timers.start_here,
            **work_acts(),
            "next": moving.next_or_ask,
        },
        helps=("reading", "what_value", "repeat_step", "skip"),
        next_goes_on=was_done,
        leads_on=lambda _: ("reading",),
        likely=lambda _: (),
    )
    KINDS.add(FlushStep, reading.READING, reading.ReadingKind(_limits, _put))
    add_kind(
        FlushStep,
        StepPart(
            rows=(row,),
            standing=lambda _here, _step: row.name,
            words=lambda t, _: reading.reading_words(t),
            answer=lambda t, _: t.text(Sentence.ANSWER_READING),
            answers={"what_value": reading.limits_asked},
            open=_open,
            ask=lambda here, _: reading.reading_shown(here),
        ),
    )


add_grant(AskMuch, _much, anew=("reading",))
