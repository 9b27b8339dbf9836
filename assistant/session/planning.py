"""The open steps of a job as tasks of a plan, and the plan: what comes when, and what can go on while something waits.

Steps depend on one another as for going elsewhere (:mod:`assistant.session.obstacles`): by ``needs``, else on the step
before, on gates, on locks, and without ``needs`` on what takes parts off or puts them on. Who does them, and with what,
:mod:`assistant.session.plan_means` says.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from assistant.advice.tasks import Lag, Means, Task, WorkPlan
from assistant.faults import Fault
from assistant.procedure.model import TimerKind
from assistant.session import timing
from assistant.session.gates import holds
from assistant.session.here import Here
from assistant.session.lasting import From, seconds_of
from assistant.session.locks import moves
from assistant.session.open_things import open_places
from assistant.session.places import StepPlace
from assistant.session.plan_means import ALONE, HELPER, Crew, crew_of, hands_for, means_of, tools_for


@dataclass(frozen=True, slots=True)
class JobPlan:
    """The ``tasks`` of a job and their ``plan``; from what their times are known, by step.

    ``late`` are open times (ids) that run and cannot be kept any more. ``fault`` is why there is no plan. ``short`` are
    steps (keys) that take more people than are at the job. ``lacking`` is equipment (ids) that open steps take, and
    that is missing or not in the bay's tool file; for ``unfit`` steps (keys) no tool of it gives a value.
    """

    tasks: tuple[Task, ...]
    means: Means
    known: Mapping[str, From]
    plan: WorkPlan | None
    at_ms: int
    late: tuple[str, ...] = ()
    fault: Fault | None = None
    crew: Crew = ALONE
    short: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    unfit: tuple[str, ...] = ()

    def count(self, source: From) -> int:
        """Return how many open steps have their time from ``source``."""
        return Counter(self.known.values())[source]

    def by_helper(self, key: str) -> bool:
        """Return whether the plan gives a step to a helper, who does it alone."""
        given = self.plan is not None and key in self.plan.given
        return given and any(task.id == key and set(task.instead) == {HELPER} for task in self.tasks)


def planned(here: Here) -> JobPlan:
    """Return the plan of the rest of a job as it stands; made once for each state, and for each minute of a timer."""
    state = here.state
    key = (
        state.done, tuple(state.skipped), state.timers, state.branches, state.bolts, state.cells, state.gates_held,
        state.released, state.witnessed, state.times, state.operator, state.missing, state.tools, crew_of(here),
        here.now_ms // 60_000 if timing.live(here) else 0,
    )  # fmt: skip
    kept = here.job.last_plan
    if kept is None or kept[0] != key:
        kept = here.job.last_plan = key, plan_job(here, crew_of(here))
    found: JobPlan = kept[1]
    return found


def plan_job(here: Here, crew: Crew, *, history_first: bool = False) -> JobPlan:
    """Return the plan of the rest of a job for a ``crew``.

    An open time that runs and cannot be kept any more is let go, and named. ``history_first`` is that of
    :func:`assistant.session.lasting.seconds_of`.
    """
    from assistant.advice.plan import plan_of, windows_of  # noqa: PLC0415 - loads networkx, which a job start must not

    work, means = _work_of(here, crew, history_first=history_first), means_of(here, crew)
    tasks = work.tasks
    made = plan_of(tasks, means)
    late: tuple[str, ...] = ()
    if isinstance(made, Fault) and any(task.latest is not None for task in tasks):
        ids = {place.key: place.step.before_timer for place in here.places if isinstance(place, StepPlace)}
        hopeless = {one.joins for one in windows_of(tasks, means) if not one.began and one.least > one.seconds}
        late = tuple(dict.fromkeys(timer for key in hopeless if (timer := ids.get(key))))
        tasks = [replace(task, latest=None) if not late or ids.get(task.id) in late else task for task in tasks]
        made = plan_of(tasks, means)
    plan, fault = (None, made) if isinstance(made, Fault) else (made, None)
    return JobPlan(
        tuple(tasks), means, work.known, plan, here.now_ms, late, fault, crew, tuple(work.short),
        tuple(dict.fromkeys(work.lacking)), tuple(work.unfit),
    )  # fmt: skip


@dataclass(slots=True)
class _Work:
    """The open steps as tasks, in the order of the file; the rest is that of :class:`JobPlan`."""

    tasks: list[Task] = field(default_factory=list)
    known: dict[str, From] = field(default_factory=dict)
    short: list[str] = field(default_factory=list)
    lacking: list[str] = field(default_factory=list)
    unfit: list[str] = field(default_factory=list)


def _work_of(here: Here, crew: Crew, *, history_first: bool) -> _Work:
    keys = set(open_places(here))
    steps = [place for place in here.places if isinstance(place, StepPlace)]
    keys |= {place.key for place in steps if holds(here, place.step)}  # a gate that was answered, and is not passed
    open_ones = [place for place in steps if place.key in keys]
    needs = _needs(here, steps, open_ones)
    begins: dict[str, str] = {}
    work = _Work()
    for place in open_ones:
        step = place.step
        if step.waits_for:
            task = _wait(here, place, begins)
        else:
            seconds, work.known[place.key] = seconds_of(here, place, history_first=history_first)
            hands, tools = hands_for(here, step, crew), tools_for(here, step)
            work.short += [place.key] if hands.short else []
            work.unfit += [place.key] if tools.unfit else []
            work.lacking += tools.lacking
            task = Task(
                place.key, round(seconds), tools=tools.taken, people=hands.people, instead=hands.instead,
                known=work.known[place.key] is not From.NOTHING,
            )  # fmt: skip
        task = replace(task, needs=tuple(one for one in needs[place.key] if one in keys))
        if step.before_timer and here.job.timers[step.before_timer].kind is TimerKind.OPEN:
            task = _joins(here, task, step.before_timer, begins)
        if step.starts_timer:
            begins[step.starts_timer] = place.key
        work.tasks.append(task)
    return work


def _wait(here: Here, place: StepPlace, begins: Mapping[str, str]) -> Task:
    """Return a wait: behind the step that begins its timer, for the rest of one that runs, or as long as it is."""
    timer = place.step.waits_for
    length, state = here.job.timers[timer].seconds, here.state.timers.get(timer)
    if timer in begins:
        return Task(place.key, after=(Lag(begins[timer], length),), people=())
    if timing.counts(state):
        return Task(place.key, earliest=timing.seconds_left(here, timer), people=())
    return Task(place.key, 0 if state is not None and state.over else length, people=())


def _joins(here: Here, task: Task, timer: str, begins: Mapping[str, str]) -> Task:
    """Return ``task`` held to the open time ``timer``, which is still to begin or runs."""
    if timer in begins:
        return replace(task, within=(Lag(begins[timer], here.job.timers[timer].seconds),))
    if timing.counts(here.state.timers.get(timer)):
        return replace(task, latest=timing.seconds_left(here, timer))
    return task


def _needs(here: Here, steps: Sequence[StepPlace], open_ones: Sequence[StepPlace]) -> dict[str, list[str]]:
    """Return the ids of the steps that must be done before each open step, as far as they are open themselves."""
    found: dict[str, list[str]] = {}
    before = {place.key: steps[number - 1].key if number else "" for number, place in enumerate(steps)}
    gate, bound = "", list[str]()
    work = [place.key for place in open_ones if not place.closing]
    for number, place in enumerate(open_ones):
        step = place.step
        mine = list(step.needs) if step.needs is not None else [before[place.key], *bound]
        mine += [gate, *_of_locks(open_ones[:number], place)]
        if place.closing and before[place.key] not in {one.key for one in open_ones if one.closing}:
            mine += work
        if holds(here, step):
            gate = place.key
        if _binds(here, place):
            bound = [place.key] if step.needs is None else [*bound, place.key]
        found[place.key] = list(dict.fromkeys(one for one in mine if one))
    return found


def _binds(here: Here, place: StepPlace) -> bool:
    """Return whether steps behind this one that say nothing of what they need count on it: parts, fasteners."""
    step = place.step
    if step.fits or step.takes_out or any(step.begins_anew(group) for group in here.job.procedure.groups):
        return True
    return any(step.id == refit.off or step.id in refit.back for refit in here.job.refits)


def _of_locks(others: Sequence[StepPlace], place: StepPlace) -> list[str]:
    """Return which of the ``others`` before it must come before ``place`` by its locks.

    What moves the machine, or holds against a lock, stays on its side of whatever puts a lock in or takes it out.
    """
    step = place.step
    turns, locks = moves(step), {one for one in (step.lock, step.unlock) if one}
    return [
        one.key
        for one in others
        if (locks and (moves(one.step) or locks & {*one.step.against, one.step.lock, one.step.unlock}))
        or ((one.step.lock or one.step.unlock) and (turns or {one.step.lock, one.step.unlock} & set(step.against)))
    ]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A step of the plan on the axis of time [s from when it was made]; a wait is as long as its timer runs."""

    place: StepPlace
    start: int
    end: int
    waits: bool
    holds_up: bool
    """Whether it is of the bottleneck: what is longer there makes the whole job longer."""
    known: From | None
    by_helper: bool = False
    people: int = 1


def stretches(here: Here, found: JobPlan) -> list[Stretch]:
    """Return the steps of a plan in the order in which they begin, waits from when their time begins to run."""
    if found.plan is None:
        return []
    ends = {span.task: span.end for span in found.plan.spans}
    tasks = {task.id: task for task in found.tasks}
    made = []
    for span in found.plan.spans:
        place, task = here.job.places[here.job.index[span.task]], tasks[span.task]
        if not isinstance(place, StepPlace):
            continue
        start = span.start
        if not task.people:
            start = max([0, *(ends[gap.task] for gap in task.after)]) if task.after or task.earliest else span.start
        holds_up = span.task in found.plan.bottleneck and span.end > start
        made.append(
            Stretch(
                place, start, span.end, not task.people, holds_up, found.known.get(span.task),
                found.by_helper(span.task), 1 if not task.people else place.step.people,
            )
        )  # fmt: skip
    return sorted(made, key=lambda one: (one.start, one.end))


def in_plan_order(here: Here, places: Sequence[StepPlace]) -> list[StepPlace]:
    """Return ``places`` as the plan has them one behind the other; as they are where there is nothing to choose."""
    found = planned(here) if len(places) > 1 else None
    if found is None or found.plan is None:
        return list(places)
    order = {span.task: number for number, span in enumerate(found.plan.spans)}
    return sorted(places, key=lambda place: order.get(place.key, len(order)))
