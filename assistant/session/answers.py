"""Answers that a step asks for: counts, readings, yes and no, new parts, and the end of a wait."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.events import Command
from assistant.fastening.quantities import plain
from assistant.procedure.model import Limits as ValueLimits
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.wait import WaitStep
from assistant.session import clocks, critical, missing, moving, needs, replies, replies_timers, sentences, tooling
from assistant.session.engine import Engine, text_of
from assistant.session.state import Pending


def count(e: Engine, command: Command) -> None:
    """Take a count of fasteners or of new parts."""
    number = int(command.number or 0)
    if clocks.too_late(e):
        return
    match e.step:
        case CountStep() as step:
            expected = e.expected_count(step)
            if number == expected:
                counted(e, number)
                return
        case FitStep() as step:
            if number and (lacking := needs.parts_missing(e, step)):
                missing.ask(e, lacking)
                return
            expected = step.quantity
            if number == expected:
                fitted(e, number)
                return
        case _:
            raise TypeError("There is nothing to count in this step.")
    e.state.miscounts[e.step.id] = e.state.miscounts.get(e.step.id, 0) + 1
    told = expected if e.rules < 3 or tells_count(e) else None
    critical.offer(e, "accept_count", replies.accept_count(number), replies.count_wrong(number, told), count=number)


def tells_count(e: Engine) -> bool:
    """Return whether the number that is expected here may be told: not before the second wrong count.

    Who knows the number does not count.
    """
    return e.step is not None and e.state.miscounts.get(e.step.id, 0) >= 2


def accept_count(e: Engine, pending: Pending) -> None:
    """Take a count that does not match, for a reason."""
    number = int(pending.data["count"])
    step = e.step
    what = "count" if isinstance(step, CountStep) else "part"
    e.record("deviation", step=step.id if step else None, what=what, count=number, reason=pending.reason)
    if isinstance(step, CountStep):
        counted(e, number)
    else:
        fitted(e, number)


def counted(e: Engine, number: int) -> None:
    """Put a count down and go on."""
    step = e.step
    if not isinstance(step, CountStep):
        raise TypeError("There is nothing to count in this step.")
    expected = e.expected_count(step)
    e.record(
        "counted",
        step=step.id,
        group=step.group,
        direction=step.direction.value,
        count=number,
        expected=expected,
        matches=number == expected,
        repeated=step.id in e.state.counts,
    )
    e.state.counts[step.id] = number
    e.state.miscounts.pop(step.id, None)
    _deviates(e, step.id, number != expected)
    e.say(replies.count_match(number))
    moving.step_done(e, step)
    moving.advance(e)


def fitted(e: Engine, number: int) -> None:
    """Put down how many new parts were fitted, and go on."""
    step = e.step
    if not isinstance(step, FitStep):
        raise TypeError("There is nothing to fit in this step.")
    e.record(
        "part_fitted",
        step=step.id,
        spare=step.spare,
        count=number,
        expected=step.quantity,
        matches=number == step.quantity,
        repeated=step.id in e.state.fitted,
    )
    e.state.fitted[step.id] = number
    e.state.miscounts.pop(step.id, None)
    _deviates(e, step.id, number != step.quantity)
    e.say(replies.count_match(number))
    moving.step_done(e, step)
    moving.advance(e)


def _deviates(e: Engine, step_id: str, deviates: bool) -> None:
    if deviates:
        e.state.deviations.add(step_id)
    else:
        e.state.deviations.discard(step_id)


def _check(e: Engine) -> CheckStep:
    step = e.step
    if not isinstance(step, CheckStep):
        raise TypeError("There is nothing to check in this step.")
    return step


def yes_no(e: Engine, command: Command) -> None:
    """Take the answer to a check."""
    step = _check(e)
    expected = "yes" if step.expect else "no"
    if clocks.too_late(e):
        return
    if command.intent == expected:
        checked(e, command.intent)
        return
    question = replies.answer_wrong(command.intent, expected)
    critical.offer(e, "accept_answer", replies.accept_answer(command.intent), question, answer=command.intent)


def accept_answer(e: Engine, pending: Pending) -> None:
    """Take an answer that is not the right one, for a reason."""
    answer = str(pending.data["answer"])
    e.record("deviation", step=_check(e).id, what="answer", answer=answer, reason=pending.reason)
    checked(e, answer)


def checked(e: Engine, answer: str) -> None:
    """Put an answer down and go on."""
    step = _check(e)
    expected = "yes" if step.expect else "no"
    e.record(
        "check_answered",
        step=step.id,
        answer=answer,
        expected=expected,
        as_expected=answer == expected,
        repeated=step.id in e.state.answers,
    )
    e.state.answers[step.id] = answer
    _deviates(e, step.id, answer != expected)
    e.say(replies.sentence(answer))
    moving.step_done(e, step)
    moving.advance(e)


def _limits(e: Engine) -> ValueLimits:
    """Return the limits of the present check, in the unit in which it is read."""
    limits = _check(e).limits
    if limits is None:
        raise TypeError("This check takes no reading.")
    return tooling.check_limits(e, limits)


def within(value: Decimal, limits: ValueLimits) -> bool:
    """Return whether ``value`` [unit of the limits] is within limits, both ends included."""
    return (limits.low is None or value >= limits.low) and (limits.high is None or value <= limits.high)


def reading(e: Engine, command: Command) -> None:
    """Take a value that was read off."""
    limits = _limits(e)
    value = command.number if command.number is not None else Decimal(0)
    if clocks.too_late(e):
        return
    if within(value, limits):
        read_off(e, value)
        return
    question = replies.reading_wrong(value, limits)
    critical.offer(e, "accept_reading", replies.accept_reading(value, limits.unit), question, value=plain(value))


def reading_below(e: Engine, command: Command) -> None:
    """Take a value below zero that was read off."""
    reading(e, replace(command, number=Decimal(0) - (command.number or Decimal(0))))


def accept_reading(e: Engine, pending: Pending) -> None:
    """Take a reading out of limits, for a reason."""
    value = Decimal(pending.data["value"])
    step = _check(e)
    e.record(
        "deviation",
        step=step.id,
        what="reading",
        value=plain(value),
        unit=_limits(e).unit,
        reason=pending.reason,
    )
    read_off(e, value)


def read_off(e: Engine, value: Decimal) -> None:
    """Put a reading down and go on."""
    step = _check(e)
    limits = _limits(e)
    inside = within(value, limits)
    e.record(
        "reading",
        step=step.id,
        value=plain(value),
        unit=limits.unit,
        low=text_of(limits.low),
        high=text_of(limits.high),
        in_limits=inside,
        repeated=step.id in e.state.answers,
    )
    e.state.answers[step.id] = plain(value)
    _deviates(e, step.id, not inside)
    e.say(replies.reading_right(value, limits.unit))
    moving.step_done(e, step)
    moving.advance(e)


def wait_next(e: Engine) -> None:
    """Begin a wait, ask before leaving it early, or go on after it."""
    step = e.step
    if not isinstance(step, WaitStep):
        raise TypeError("There is nothing to wait for in this step.")
    if step.timer not in e.state.timers:
        clocks.start(e, step.timer, aloud=True)
        return
    if clocks.ask_about_doubted(e, step.timer):
        return
    if clocks.running(e, step.timer):
        timer = e.timers[step.timer]
        left = clocks.seconds_left(e, step.timer)
        critical.offer(
            e, "leave_wait", sentences.LEAVE_WAIT, replies_timers.wait_early(timer, left), timer=step.timer, left=left
        )
        return
    moving.step_done(e, step)
    moving.advance(e)


def leave_wait(e: Engine, pending: Pending) -> None:
    """Go on before a wait is over, for a reason."""
    step = e.step
    if step is None:
        raise TypeError("There is nothing to wait for here.")
    timer = str(pending.data["timer"])
    left = clocks.seconds_left(e, timer)
    e.record("deviation", step=step.id, what="wait", timer=timer, seconds_left=left, reason=pending.reason)
    e.state.deviations.add(step.id)
    moving.step_done(e, step)
    moving.advance(e)


def start_timer(e: Engine) -> None:
    """Start the timer of this step; one that runs since this visit is left alone."""
    step = e.step
    timer_id = step.timer if isinstance(step, WaitStep) else step.starts_timer if step else None
    if timer_id is None:
        e.say(sentences.NO_TIMER_HERE)
        return
    timer = e.state.timers.get(timer_id)
    anew = isinstance(step, WaitStep) or (timer is not None and timer.visit == e.state.visit)
    if timer is not None and not timer.over and not timer.stopped and not timer.doubted and anew:
        e.say(clocks.left_words(e, timer_id))
        return
    clocks.start(e, timer_id, aloud=True)
