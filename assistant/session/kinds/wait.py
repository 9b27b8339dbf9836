"""A step that waits for a timer."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.events import Command
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.kinds.wait import AskLeaveWait
from assistant.language.sentence import Sentence
from assistant.procedure.steps.wait import WaitStep
from assistant.session import timing
from assistant.session.deciding import asking, timers
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.steps import done_and_on
from assistant.session.here import Here
from assistant.session.part import StepPart, add_kind
from assistant.session.states import work_acts
from assistant.session.table import Row
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling
from assistant.session.telling.detours import offered_words
from assistant.session.telling.timers import timer_name, timer_words


def wait_next(d: Deciding, _: Command) -> None:
    """Begin the wait, ask before it is left early, or go on after it."""
    step = d.step
    if not isinstance(step, WaitStep):
        return
    if step.timer not in d.state.timers:
        timers.start(d, step.timer, aloud=True)
    elif timers.ask_about_doubted(d, step.timer):
        return
    elif timing.running(d, step.timer):
        left = timing.seconds_left(d, step.timer)
        asking.offer(d, AskLeaveWait(step=step.id, timer=step.timer, seconds_left=left))
    else:
        done_and_on(d, step)


def _leave(d: Deciding, question: AskLeaveWait, reason: str) -> None:
    """Go on before the wait is over, for a reason."""
    left = timing.seconds_left(d, question.timer)
    d.put(
        Deviated(
            step=question.step, what=DeviationWhat.WAIT, timer=question.timer, seconds_left=left, reason=reason
        )
    )  # fmt: skip
    if d.step is not None:
        done_and_on(d, d.step)


def _wait_words(t: Telling, timer: str) -> str:
    """Return how a wait stands."""
    if timer not in t.state.timers:
        return t.prompt(Sentence.SAY_START)
    return timer_words(t, timer) if timing.running(t, timer) else t.text(Sentence.WAIT_OVER)


def _early_words(t: Telling, question: AskLeaveWait) -> list[str]:
    """Return that a wait is not over."""
    return t.language.timers.wait_early(timer_name(t, question.timer), question.seconds_left)


def _early_summary(t: Telling, _: AskLeaveWait) -> str:
    """Return what leaving it early means."""
    return t.text(Sentence.LEAVE_WAIT)


def _words(t: Telling, step: WaitStep) -> Sequence[str]:
    over = step.timer in t.state.timers and not timing.running(t, step.timer)
    if step.id in t.state.done and over:
        return []
    offered = offered_words(t, step.timer) if timing.running(t, step.timer) else []
    return [_wait_words(t, step.timer), *offered]


def _leads_on(here: Here) -> Sequence[str]:
    step = here.step
    timer = here.state.timers.get(step.timer) if isinstance(step, WaitStep) else None
    if timer is None:
        return ("start_timer",)
    return ("next",) if timer.over else ("time_left",)


WAITING = Row(
    "waiting",
    means="a timer to wait for",
    acts={"start_timer": timers.start_here, **work_acts(), "next": wait_next},
    helps=("start_timer", "time_left", "next", "note"),
    leads_on=_leads_on,
)

add_kind(
    WaitStep,
    StepPart(
        rows=(WAITING,),
        standing=lambda _here, _step: WAITING.name,
        words=_words,
        waits_for=lambda step: step.timer,
        ask=lambda _here, step: {"kind": "wait", "timer": step.timer},
    ),
)
add_grant(AskLeaveWait, _leave, anew=("go_to",))
add_read_back(AskLeaveWait, ReadBack(_early_words, summary=_early_summary))
