"""The rule about open times that the minutes of the steps leave no way to keep. Run from ``table.py``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from assistant.advice.tasks import Lag, Task
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Step, Timer, TimerKind
from assistant.procedure.rules.needs import whole_needs


@rule
def open_times_can_be_kept(draft: Draft) -> Iterator[Complaint]:
    """Leave an open time at least as long as the steps that must come in it take, by their own minutes."""
    timers = {timer.id: timer for timer in draft.procedure.timers}
    steps = [step for step in draft.sound_steps() if draft.whole]
    joining = {step.id: step for step in steps if step.before_timer and _kind(draft, step) is TimerKind.OPEN}
    if not joining or not draft.places.sound(*timers.values()) or all(step.minutes is None for step in steps):
        return
    if not _may_be_too_long(steps, timers):
        return
    from assistant.advice.plan import windows_of  # noqa: PLC0415 - loads networkx, which few files need
    from assistant.advice.plan_graph import TaskGraph  # noqa: PLC0415

    tasks = _tasks(draft, steps)
    if TaskGraph(tasks).fault() is not None:
        return
    for window in windows_of(tasks):
        if window.least > window.seconds:
            step = joining[window.joins]
            timer = timers[step.before_timer or ""]
            text = (
                f'The open time "{timer.id}" is {_minutes(window.seconds)}, and by their minutes the steps up to this '
                f"one take {_minutes(window.least)}"
            )
            hint = "correct the minutes or the open time, or move work before the step that starts it"
            yield Complaint(draft.places.of(step, "before"), text, hint, Level.WARNING)


def _may_be_too_long(steps: list[Step], timers: Mapping[str, Timer]) -> bool:
    """Return whether all steps of an open time together, in the order of the file, would take longer than it is."""
    lasted: dict[str, Decimal] = {}
    for step in steps:
        wait = timers.get(step.waits_for)
        for name in lasted:
            lasted[name] += (step.minutes or 0) * 60 + (wait.seconds if wait else 0)
        if step.before_timer in lasted and lasted[step.before_timer] > timers[step.before_timer].seconds:
            return True
        if step.starts_timer in timers:
            lasted[step.starts_timer or ""] = Decimal(0)
    return False


def _kind(draft: Draft, step: Step) -> TimerKind | None:
    return next((timer.kind for timer in draft.procedure.timers if timer.id == step.before_timer), None)


def _tasks(draft: Draft, steps: list[Step]) -> list[Task]:
    """Return the steps with what is known of their times; what nobody knows counts as none."""
    needs, seconds = whole_needs(draft), {timer.id: timer.seconds for timer in draft.procedure.timers}
    known = {step.id for step in steps}
    begins: dict[str, str] = {}
    tasks = []
    for step in steps:
        own = tuple(dict.fromkeys(one for one in needs.get(step.id, ()) if one in known))
        length = round((step.minutes or 0) * 60)
        after: tuple[Lag, ...] = ()
        if step.waits_for:
            starter = begins.get(step.waits_for)
            after = (Lag(starter, seconds.get(step.waits_for, 0)),) if starter else ()
            length = 0 if starter else seconds.get(step.waits_for, 0)
        starter = begins.get(step.before_timer or "")
        within = (Lag(starter, seconds[step.before_timer or ""]),) if starter and not step.waits_for else ()
        people = () if step.waits_for else Task("").people
        tasks.append(Task(step.id, length, own, after=after, within=within, people=people))
        if step.starts_timer:
            begins[step.starts_timer] = step.id
    return tasks


def _minutes(seconds: int) -> str:
    return f"{seconds / 60:g} min"
