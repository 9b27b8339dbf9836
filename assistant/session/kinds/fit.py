"""A step that fits new parts."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from assistant.facts.asking import DeviationWhat
from assistant.facts.kinds.fit import PartFitted
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS
from assistant.procedure.steps.fit import FitStep
from assistant.session import needs
from assistant.session.deciding import asking
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here
from assistant.session.kinds import counting
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls, step_called


def _missing(d: Deciding, step: FitStep, number: int) -> bool:
    """Ask whether the new part is here after all, when it was told to be missing; return whether that was asked."""
    lacking = needs.lacking(d, {step.spare}) if number else []
    if not lacking:
        return False
    asking.ask_found(d, tuple(lacking))
    return True


def _put(d: Deciding, step: FitStep, number: int) -> None:
    d.put(
        PartFitted(
            step=step.id,
            spare=step.spare,
            count=number,
            expected=step.quantity,
            repeated=step.id in d.state.fitted,
        )
    )


@tells(PartFitted)
def _tell_count(t: Telling, fact: PartFitted) -> None:
    t.say(t.language.answers.count_match(fact.count))


@calls(PartFitted)
def _call_count(t: Telling, fact: PartFitted) -> str:
    return step_called(t, fact.step, t.language.taking_back.were_fitted(fact.count), apart=True)


def _open(here: Here, step: FitStep, _: Collection[str]) -> Sequence[OpenThing]:
    """Return that the new parts were not answered for, or that their number is not as it should be."""
    if step.id not in here.state.fitted:
        return (OpenThing(OpenKind.PART, step.id),)
    if step.id not in here.state.deviations:
        return ()
    at = here.job.step_at(step)
    return (OpenThing(OpenKind.ANSWER, step.id, name=lambda language: language.lists.open_parts(at)),)


_ROW = counting.counting_row("fitting", "new parts to fit and count", Sentence.ANSWER_FIT)

KINDS.add(
    FitStep,
    counting.COUNTING,
    counting.CountingKind(lambda _, step: int(step.quantity), DeviationWhat.PART, _put, _missing),
)
add_kind(
    FitStep,
    StepPart(
        rows=(_ROW,),
        numbers=counting.countable,
        may_be={"count": counting.may_be_counted},
        standing=lambda _here, _step: _ROW.name,
        answer=lambda t, _: t.text(Sentence.ANSWER_FIT),
        answer_again=lambda t, _: t.text(Sentence.ANSWER_FIT),
        answers={"how_many": counting.how_many_asked},
        open=_open,
        ask=lambda _, step: {"kind": "count", "expected": step.quantity, "direction": "in"},
        needs=lambda _, step: (step.spare,),
    ),
)
