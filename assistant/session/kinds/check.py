"""A step that looks, answered with yes or no, or measures, answered with a reading."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.events import Command
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.extra import AskBranch
from assistant.facts.kinds.check import AskAnswer, CheckAnswered, ReadOff
from assistant.fastening.quantities import TorqueUnit
from assistant.language.sentence import Sentence
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Branch, Limits, Onward, When
from assistant.procedure.steps.check import CheckStep
from assistant.session import gates, packs
from assistant.session.branching import branch_of, is_finished
from assistant.session.cells import numbers_of
from assistant.session.deciding import asking, branches, moving, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.deciding.units import unit_acts
from assistant.session.found_packs import take_fitted_shim
from assistant.session.here import Here
from assistant.session.kinds import reading
from assistant.session.kinds.packs_words import pack_read
from assistant.session.part import OpenKind, OpenThing, StepPart, add_kind
from assistant.session.places import branch_key
from assistant.session.states import was_done, work_acts
from assistant.session.table import Row
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.branches import led_words, was_led
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.taking_back import calls, step_called
from assistant.session.tools.values import check_limits


def _check(here: Here) -> CheckStep:
    step = here.step
    if not isinstance(step, CheckStep):
        raise TypeError("There is nothing to check in this step.")
    return step


def yes_no(d: Deciding, command: Command) -> None:
    """Take the answer to a check; a wrong one is read back, and needs a reason."""
    step, yes = _check(d), command.intent == "yes"
    if timers.too_late(d):
        return
    branch = branches.led_to(d, step, When.YES if yes else When.NO)
    if yes is step.expect:
        _answered(d, yes=yes)
    elif branch is not None:
        asking.ask(d, AskBranch(step=step.id, branch=branch_key(step.id, branch), yes=yes))
    else:
        asking.offer(d, AskAnswer(step=step.id, yes=yes))


def _answered(d: Deciding, *, yes: bool) -> None:
    step = _check(d)
    _put_answer(d, step, yes=yes)
    branches.leave_others(d, step)
    done_and_on(d, step)


def _put_answer(d: Deciding, step: CheckStep, *, yes: bool) -> None:
    d.put(CheckAnswered(step=step.id, yes=yes, expected=step.expect, repeated=step.id in d.state.answers))


def _led(d: Deciding, question: AskBranch, _reason: str) -> None:
    """Take an answer, or a reading, that leads into a branch."""
    step, branch = _check(d), branch_of(d.job, question.branch)
    if branch is None:
        raise RuntimeError("There is no such branch.")
    if question.reading is not None:
        reading.put_reading(d, step, question.reading)
    else:
        _put_answer(d, step, yes=bool(question.yes))
    branches.leave_others(d, step, branch)
    branches.go_into(d, step, branch)


def _reading_branch(here: Here, step: CheckStep, *, below: bool) -> Branch | None:
    """Return the branch to which a reading leads that is ``below``, or else above, its limits."""
    return branches.led_to(here, step, When.BELOW if below else When.ABOVE, When.OUTSIDE)


def _accept(d: Deciding, question: AskAnswer, reason: str) -> None:
    """Take an answer that is not the right one, for a reason."""
    d.put(Deviated(step=question.step, what=DeviationWhat.ANSWER, yes=question.yes, reason=reason))
    _answered(d, yes=question.yes)


def _limits(here: Here, step: CheckStep) -> Limits | None:
    return None if step.limits is None else check_limits(here, step.limits)


def _read_off(d: Deciding, step: CheckStep, value: Quantity, limits: Bounds, inside: bool) -> None:
    d.put(
        ReadOff(
            step=step.id,
            value=value.value,
            unit=value.unit,
            limits=limits,
            in_limits=inside,
            repeated=step.id in d.state.answers,
        )
    )
    packs.work_out_packs(d, step, value)


def _standing(_: Here, step: CheckStep) -> str:
    if step.limits is None:
        return _CHECKING.name
    if step.pack is not None:
        return _PACKED.name
    return _SIGNED.name if reading.may_be_below_zero(step.limits) else _READING.name


def _in_unit(t: Telling, step: CheckStep) -> None:
    if step.limits is not None and step.limits.unit in set(TorqueUnit):
        t.say(*reading.reading_words(t))


@tells(CheckAnswered)
def _tell_answer(t: Telling, fact: CheckAnswered) -> None:
    """Say an answer back where it is not the right one; the right one is told by going on."""
    if not was_led(t) and (fact.yes is not fact.expected or t.in_full):
        t.say(t.language.answers.answer(yes=fact.yes))


@tells(ReadOff)
def _tell_reading(t: Telling, fact: ReadOff) -> None:
    if not was_led(t):
        t.say(t.language.answers.reading_right(fact.value, fact.unit))


def _lead_words(t: Telling, question: AskBranch) -> Sequence[str]:
    """Read back an answer, or a reading, that leads into a branch."""
    if question.reading is None:
        return [t.language.answers.answer(yes=bool(question.yes)), *led_words(t, question.branch)]
    value, of = question.reading.value, reading.reading_limits(t)
    below = of is not None and of.low is not None and value < of.low
    said = t.language.answers.reading_right(value, question.reading.unit)
    return [said, t.language.extra.beyond_limit(below=below), *led_words(t, question.branch)]


def _put_right(here: Here, step: CheckStep) -> bool:
    """Return whether the answer led to work that the procedure has for it; what is open of that, is open itself."""
    for one in step.branches:
        key = branch_key(step.id, one)
        if one.when is When.OFFER or one.then is Onward.STOP or key not in here.state.branches:
            continue
        if one.then is Onward.GO_ON or not is_finished(here.job, here.state, key):
            return True
    return False


@calls(CheckAnswered)
def _call_answer(t: Telling, fact: CheckAnswered) -> str:
    return step_called(t, fact.step, t.language.taking_back.was_answered(yes=fact.yes))


@calls(ReadOff)
def _call_reading(t: Telling, fact: ReadOff) -> str:
    return step_called(t, fact.step, t.language.taking_back.was_read(fact.value, fact.unit), apart=True)


def _open(here: Here, step: CheckStep, _: Collection[str]) -> Sequence[OpenThing]:
    """Return that the value, or the answer, is not as it should be."""
    if step.id not in here.state.deviations or _put_right(here, step):
        return ()
    at = here.job.step_at(step)
    if step.limits is not None:
        return (OpenThing(OpenKind.VALUE, step.id, name=lambda language: language.lists.open_value(at)),)
    yes = here.state.answers[step.id] is True
    return (OpenThing(OpenKind.ANSWER, step.id, name=lambda language: language.lists.open_answer(at, yes=yes)),)


def _ask(here: Here, step: CheckStep) -> Mapping[str, Any]:
    return reading.reading_shown(here) or {"kind": "yes_no", "expected": "yes" if step.expect else "no"}


def _numbers(here: Here, step: CheckStep) -> Sequence[Decimal]:
    of = _limits(here, step)
    return () if of is None else numbers_of(of)


def _likely(here: Here) -> Sequence[Command]:
    return (Command("yes" if _check(here).expect else "no"),)


_ACTS = {"start_timer": timers.start_here, **work_acts(), "next": moving.next_or_ask}

_CHECKING = Row(
    "checking",
    means="a question to answer with yes or no",
    acts={"yes": yes_no, "no": yes_no, **_ACTS},
    helps=("yes", "no", "repeat_step", "skip"),
    leads_on=lambda _: ("yes", "no"),
    hint=Sentence.ANSWER_YES_NO,
    next_goes_on=was_done,
    likely=_likely,
)
_READING = Row(
    "reading",
    means="a value to read off",
    acts={"reading": reading.take_reading, **unit_acts(), **_ACTS},
    helps=("reading", "what_value", "repeat_step", "skip"),
    leads_on=lambda _: ("reading",),
    next_goes_on=was_done,
    likely=lambda _: (),
)
_SIGNED = Row(
    "reading_signed",
    means="a value to read off that may lie below zero",
    acts={"reading": reading.take_reading, "reading_below": reading.take_reading_below, **unit_acts(), **_ACTS},
    helps=("reading", "reading_below", "what_value", "skip"),
    leads_on=lambda _: ("reading",),
    next_goes_on=was_done,
    likely=lambda _: (),
)
"""A reading that may lie below zero."""
_PACKED = replace(
    _SIGNED,
    name="reading_packed",
    means="a value to read off that a pack of shims sets: before it, which shims are found in that",
    acts={
        "reading": reading.take_reading, "reading_below": reading.take_reading_below, "pack_found": take_fitted_shim,
        **unit_acts(), **_ACTS,
    },
    helps=("reading", "pack_found", "what_value", "skip"),
)  # fmt: skip

KINDS.add(CheckStep, reading.READING, reading.ReadingKind(_limits, _read_off, _reading_branch, branches.leave_others))
add_kind(
    CheckStep,
    StepPart(
        rows=(_CHECKING, _READING, _SIGNED, _PACKED),
        standing=_standing,
        words=lambda t, _: reading.reading_words(t),
        answer=lambda t, step: t.text(Sentence.ANSWER_READING if step.limits else Sentence.ANSWER_YES_NO),
        answers={"what_value": reading.limits_asked},
        in_unit=_in_unit,
        open=_open,
        ask=_ask,
        numbers=_numbers,
        may_be=reading.MAY_BE_READ,
        picture=pack_read,
    ),
)
add_grant(AskAnswer, _accept)
add_read_back(AskBranch, ReadBack(_lead_words, reads_again=True))
add_grant(AskBranch, _led, anew=("reading", "reading_below"))
add_read_back(
    AskAnswer,
    ReadBack(
        words=lambda t, question: t.language.answers.answer_wrong(yes=question.yes, gate=gates.holds(t, t.step)),
        summary=lambda t, question: t.language.answers.accept_answer(yes=question.yes),
        reads_again=True,
    ),
)
