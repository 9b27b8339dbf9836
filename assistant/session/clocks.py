"""Timers of the procedure, and the waiting times of read-backs and notes."""

from __future__ import annotations

from assistant.events import ToneKind
from assistant.procedure.model import Step, TimerKind
from assistant.procedure.steps.wait import WaitStep
from assistant.session import critical, presenting, replies_timers, sentences
from assistant.session.engine import Engine
from assistant.session.machine import BASES
from assistant.session.places import StepPlace
from assistant.session.state import Pending, TimerState

RUNNING, BETWEEN = "running", "between"
"""When the computer's clock was set: while the program ran, or between its end and the next."""
_WARN_PART = 5
"""An open time is warned of when one fifth of it is left."""


def start(e: Engine, timer_id: str, *, aloud: bool = False) -> None:
    """Start or restart a timer; ``aloud`` when that was asked for by itself."""
    timer = e.timers[timer_id]
    repeated = timer_id in e.state.timers
    ends_ms = e.now_ms + timer.seconds * 1000
    e.state.timers[timer_id] = TimerState(ends_ms, e.state.visit if aloud else 0)
    e.state.late_accepted = {pair for pair in e.state.late_accepted if pair[1] != timer_id}
    e.record(
        "timer_started",
        timer=timer_id,
        name=timer.name,
        kind=timer.kind.value,
        seconds=timer.seconds,
        repeated=repeated,
        ends_ms=ends_ms,
    )
    e.say(replies_timers.timer_started(timer))


def running(e: Engine, timer_id: str) -> bool:
    """Return whether a timer was started and has not ended."""
    timer = e.state.timers.get(timer_id)
    return timer is not None and not timer.over


def seconds_left(e: Engine, timer_id: str) -> int:
    """Return the seconds [s] that a started timer still runs, rounded up."""
    return max(0, -((e.now_ms - e.state.timers[timer_id].ends_ms) // 1000))


def left_words(e: Engine, timer_id: str) -> str:
    """Say what is left of a timer that matters for a step, or ""."""
    timer = e.state.timers.get(timer_id)
    if timer is None or timer.stopped:
        return ""
    if timer.over:
        return replies_timers.timer_over(e.timers[timer_id])[0]
    return replies_timers.timer_left(e.timers[timer_id], seconds_left(e, timer_id))


def wait_words(e: Engine, timer_id: str) -> str:
    """Say how a wait stands."""
    if timer_id not in e.state.timers:
        return sentences.SAY_START
    if running(e, timer_id):
        return left_words(e, timer_id)
    return sentences.WAIT_OVER


def time_left(e: Engine) -> None:
    """Answer how long the timers still run."""
    e.say(*(live_words(e) or [sentences.NO_TIMER]))


def live_words(e: Engine) -> list[str]:
    """Say how long the timers still run: at most four, those that end first."""
    live = [(state.ends_ms, timer) for timer, state in e.state.timers.items() if not state.over and not state.stopped]
    return [left_words(e, timer) for _, timer in sorted(live)[:4]]


def too_late(e: Engine) -> bool:
    """Return True, and ask, when this step had to come before the end of an open time that is over."""
    step = e.step
    if step is None or not step.before_timer or (step.id, step.before_timer) in e.state.late_accepted:
        return False
    timer = e.timers[step.before_timer]
    state = e.state.timers.get(timer.id)
    if e.rules >= 3 and state is not None and state.stopped and step.id not in e.state.done:
        run_on(e, step)  # it was stopped by leaving steps out, and one of them is done after all
    if state is not None and state.doubted and ask_about_doubted(e, timer.id):
        return True
    if timer.kind is not TimerKind.OPEN or (state is not None and (state.stopped or not state.over)):
        return False
    question = replies_timers.timer_late(timer, started=state is not None)
    critical.offer(e, "late", sentences.GO_ON_LATE, question, step=step.id, timer=timer.id)
    return True


def stepped(e: Engine, by_ms: int) -> None:
    """Take up that the computer's clock was set by ``by_ms``: running timers are doubted until somebody agrees."""
    for timer in e.state.timers.values():
        timer.doubted |= not timer.over and not timer.stopped
    e.tone(ToneKind.TIMER)
    e.say(replies_timers.clock_set(by_ms))
    if e.phase in BASES:
        ask_about_doubted(e)


def ask_about_doubted(e: Engine, timer_id: str = "") -> bool:
    """Ask about the timer ``timer_id``, or the first of all, that is doubted; return whether there is one."""
    for name, state in e.state.timers.items():
        if state.doubted and not state.stopped and timer_id in ("", name):
            left = 0 if state.over else seconds_left(e, name)
            question = replies_timers.timer_doubted(e.timers[name], left)
            pending = Pending("timer_agreed", sentences.TIMER_RIGHT, " ".join(question), {"timer": name}, final=True)
            critical.ask(e, pending)
            return True
    return False


def agree(e: Engine, pending: Pending) -> None:
    """Take it that a timer is right although the computer's clock was set, and ask about the next."""
    name = str(pending.data["timer"])
    state = e.state.timers[name]
    state.doubted = False
    e.record("timer_agreed", timer=name, seconds_left=0 if state.over else seconds_left(e, name))
    if not ask_about_doubted(e):
        e.say(left_words(e, name) or sentences.NO_TIMER)


def stop_if_last(e: Engine, timer_id: str) -> None:
    """Stop an open time when every step that had to come before its end is done or left out."""
    state = e.state.timers.get(timer_id)
    if state is None or state.over or state.stopped or e.timers[timer_id].kind is not TimerKind.OPEN:
        return
    keys = [place.key for place in e.places if isinstance(place, StepPlace) and place.step.before_timer == timer_id]
    left_out = [key for key in keys if key not in e.state.done]
    if any(key not in e.state.skipped for key in left_out):
        return
    state.stopped = True
    more = {"left_out": left_out} if e.rules >= 3 else {}
    e.record("timer_stopped", timer=timer_id, **more)


def run_on(e: Engine, step: Step) -> None:
    """Let the open time of ``step``, which was left out and is come back to, run on as if it had never stopped."""
    timer_id = step.before_timer or ""
    state = e.state.timers.get(timer_id)
    if e.rules < 3 or state is None or not state.stopped or step.id in e.state.done:
        return
    state.stopped = False
    e.record("timer_runs_on", timer=timer_id, ends_ms=state.ends_ms)
    if state.ends_ms <= e.now_ms:
        _timer(e, timer_id, e.now_ms)


def next_ms(e: Engine) -> int | None:
    """Return when something happens by itself."""
    times = [
        time for state in (e.state.pending, e.state.dictation) if state is not None for time in [state.deadline_ms]
    ]
    for timer_id, timer in e.state.timers.items():
        if not timer.over and not timer.stopped:
            times.append(timer.ends_ms if timer.warned else _warn_ms(e, timer_id, timer))
    if (pause := presenting.pause_ms(e)) is not None:
        times.append(pause)
    return min(times, default=None)


def _warn_ms(e: Engine, timer_id: str, timer: TimerState) -> int:
    what = e.timers[timer_id]
    return timer.ends_ms - what.seconds * 1000 // _WARN_PART if what.kind is TimerKind.OPEN else timer.ends_ms


def expire(e: Engine) -> bool:
    """Let everything happen whose time has come, in order; return whether anything did."""
    happened = False
    while (due := next_ms(e)) is not None and due <= e.now_ms and not e.state.closed:
        happened = True
        if due == presenting.pause_ms(e):
            e.tone(ToneKind.TIMER)
            e.say(*presenting.pause_words(e))
        for timer_id in sorted(e.state.timers):
            _timer(e, timer_id, due)
        for waiting in (e.state.pending, e.state.dictation):
            if waiting is not None and waiting.deadline_ms <= due:
                critical.cancel(e, "silence")
                break
    return happened


def _timer(e: Engine, timer_id: str, due: int) -> None:
    timer = e.state.timers[timer_id]
    what = e.timers[timer_id]
    if timer.over or timer.stopped:
        return
    if timer.ends_ms <= due:
        timer.over = timer.warned = True
        e.record("timer_ended", timer=timer_id, name=what.name, kind=what.kind.value)
        e.tone(ToneKind.TIMER)
        e.say(sentences.BY_MY_COUNT if timer.doubted else "", *replies_timers.timer_over(what))
        if timer.doubted:
            return  # next asks whether that is right
        if isinstance(e.step, WaitStep) and e.step.timer == timer_id:
            e.say(sentences.NEXT_GOES_ON)
    elif not timer.warned and _warn_ms(e, timer_id, timer) <= due:
        timer.warned = True
        if timer.ends_ms <= e.now_ms:
            return  # it ended while nobody was there to be warned
        left = (timer.ends_ms - due) // 1000
        e.record("timer_warned", timer=timer_id, seconds_left=left)
        e.tone(ToneKind.TIMER)
        e.say(replies_timers.timer_left(what, left))
