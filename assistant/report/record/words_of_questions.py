"""The words of what was asked and waited to be confirmed, so that they can be read without the entries around them."""

from __future__ import annotations

from assistant.facts import asking, taking_back
from assistant.report.record.printing import Names, prints_asked


@prints_asked(asking.AskSkipPlace)
def _skip_place(q: asking.AskSkipPlace, _: Names) -> str:
    return f"leave out {q.place}"


@prints_asked(asking.AskSkipStep)
def _skip_step(q: asking.AskSkipStep, _: Names) -> str:
    return f"leave out step {q.step}"


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


@prints_asked(taking_back.AskTakeBack)
def _take_back(_q: taking_back.AskTakeBack, _: Names) -> str:
    return "take back what was confirmed last"


@prints_asked(asking.AskHandOver)
def _hand_over(_q: asking.AskHandOver, _: Names) -> str:
    return "hand the job over"


@prints_asked(asking.AskFinish)
def _finish(_q: asking.AskFinish, _: Names) -> str:
    return "close the job"
