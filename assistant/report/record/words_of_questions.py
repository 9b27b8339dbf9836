"""The words of what was asked and waited to be confirmed, so that they can be read without the entries around them."""

from __future__ import annotations

from assistant.facts import asking
from assistant.facts.kinds import check, counting, reading, tighten, wait
from assistant.report.record.printing import Names, prints_asked
from assistant.report.record.values import amount_text, numbers


@prints_asked(asking.AskSkipPlace)
def _skip_place(q: asking.AskSkipPlace, _: Names) -> str:
    return f"leave out {q.place}"


@prints_asked(asking.AskSkipStep)
def _skip_step(q: asking.AskSkipStep, _: Names) -> str:
    return f"leave out step {q.step}"


@prints_asked(tighten.AskSkipBolts)
def _skip_bolts(q: tighten.AskSkipBolts, _: Names) -> str:
    return f"leave out bolts {numbers(q.bolts)} of stage {q.stage} of {q.step}"


@prints_asked(counting.AskCount)
def _count(q: counting.AskCount, _: Names) -> str:
    return f"take a count of {q.count}, which does not match, at {q.step}"


@prints_asked(check.AskAnswer)
def _answer(q: check.AskAnswer, _: Names) -> str:
    return f"take the answer {'yes' if q.yes else 'no'}, which is not the right one, at {q.step}"


@prints_asked(reading.AskReading)
def _reading(q: reading.AskReading, _: Names) -> str:
    return f"take a reading of {amount_text(q.reading)} out of limits at {q.step}"


@prints_asked(tighten.AskBoltReading)
def _bolt_reading(q: tighten.AskBoltReading, _: Names) -> str:
    return f"take a reading of {amount_text(q.reading)} out of limits at bolt {q.bolt} of {q.step}"


@prints_asked(tighten.AskLoosened)
def _loosened(q: tighten.AskLoosened, _: Names) -> str:
    return f"are bolts {numbers(q.bolts)} of {q.step} loose again"


@prints_asked(tighten.AskReplace)
def _replace(q: tighten.AskReplace, _: Names) -> str:
    return f"replace bolt {q.bolt} of {q.step}"


@prints_asked(wait.AskLeaveWait)
def _leave_wait(q: wait.AskLeaveWait, names: Names) -> str:
    return f"leave the wait {names.timer(q.timer)} {q.seconds_left} s early"


@prints_asked(asking.AskLate)
def _late(q: asking.AskLate, names: Names) -> str:
    timer = names.timer(q.timer)
    return f"go on with {q.step} {f'after {timer} was over' if q.started else f'without {timer} started'}"


@prints_asked(asking.AskTimer)
def _timer(q: asking.AskTimer, names: Names) -> str:
    return f"is timer {names.timer(q.timer)} right, with {q.seconds_left} s left"


@prints_asked(asking.AskWithout)
def _without(_q: asking.AskWithout, _: Names) -> str:
    return "begin without what is missing"


@prints_asked(asking.AskFound)
def _found(q: asking.AskFound, names: Names) -> str:
    return f"is here now: {names.thing(q.place, q.number)}"


@prints_asked(asking.AskHandOver)
def _hand_over(_q: asking.AskHandOver, _: Names) -> str:
    return "hand the job over"


@prints_asked(asking.AskFinish)
def _finish(_q: asking.AskFinish, _: Names) -> str:
    return "close the job"
