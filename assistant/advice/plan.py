"""When to do what: tasks with what they need, waits, open times, tools and people make a plan with its end.

The plan is advice. It keeps to what every task needs, starts nothing behind a wait before that is over, and nothing
that would let an open time run out. A task of which nobody knows how long it takes counts as no time at all, and is put
into no open time unless it must come there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from assistant.advice.plan_graph import TaskGraph
from assistant.advice.plan_search import searched
from assistant.advice.tasks import Lag, Means, Task, Window, WorkPlan
from assistant.faults import Fault


def plan_of(tasks: Sequence[Task], means: Means | None = None) -> WorkPlan | Fault:
    """Return the plan that ends soonest, and among those the one that keeps most to the order of ``tasks``.

    Method: the order is first made by two rules (as given, and longest way to the end first; Kelley 1963, "parallel"
    schedule). Where its end is the lower bound (critical path, Kelley and Walker 1959, and one person's preemptive
    schedule, Jackson 1955; Carlier 1982), it is the best. Else CP-SAT looks for a better one, with a limit of work.

    Source: from memory.

    >>> cure = Task("cure", needs=("glue",), after=(Lag("glue", 600),), people=())
    >>> plan = plan_of([Task("glue", 60), cure, Task("fill", 120, ("cure",)), Task("label", 300, ("glue",))])
    >>> [(one.task, one.start) for one in plan.spans], plan.seconds
    ([('glue', 0), ('label', 60), ('cure', 660), ('fill', 660)], 780)
    """
    means = means or Means()
    fault = _values_fault(tasks, means)
    if fault is not None:
        return fault
    if not tasks:
        return WorkPlan((), 0, 0, proven=True, bottleneck=())
    graph = TaskGraph(tasks)
    if (loop := graph.fault()) is not None:
        return loop
    ordered = graph.ordered()
    return _times_fault(graph, ordered, means) or searched(ordered, means)


def _values_fault(tasks: Sequence[Task], means: Means) -> Fault | None:
    """Return what is wrong with single tasks; None for nothing."""
    known = Counter(task.id for task in tasks)
    for task in tasks:
        times = [task.seconds, task.earliest, *(gap.seconds for gap in (*task.after, *task.within))]
        if known[task.id] > 1:
            return Fault(f'The id "{task.id}" is given to two tasks', "give each an id of its own")
        if min(times) < 0:
            return Fault(f'A time of "{task.id}" is below zero', "write how long it takes")
        for name in (*task.needs, *(gap.task for gap in (*task.after, *task.within))):
            if name not in known:
                return Fault(f'"{task.id}" needs "{name}", and there is no such task', "name one that is there")
        for name, number in (task.takes | task.takes_instead).items():
            if number > means.of(name):
                one = name.partition(" ")[2]
                return Fault(f'"{task.id}" takes {number} of "{one}", and there are {means.of(name)}', "add one")
    return None


def _times_fault(graph: TaskGraph, ordered: Sequence[Task], means: Means) -> Fault | None:
    """Return the first open time that can never be kept; None when each could be kept by itself."""
    for window in _windows(graph, ordered, means):
        if window.least > window.seconds:
            began = f'behind "{window.began}"' if window.began else "that runs"
            return Fault(
                f"The open time {began} is {_length(window.seconds)}, and the work up to the end of "
                f'"{window.joins}" takes at least {_length(window.least)}',
                "correct the open time or the minutes of the steps, or move work out of it",
            )
    return None


def _length(seconds: int) -> str:
    return f"{seconds} s" if seconds % 60 else f"{seconds // 60} min"


def windows_of(tasks: Sequence[Task], means: Means | None = None) -> list[Window]:
    """Return the open times of ``tasks``, of which none needs itself.

    The least time in one is the longer of the way through it and the work of whoever there is only one of.
    """
    if not any(task.within or task.latest is not None for task in tasks):
        return []
    graph = TaskGraph(tasks)
    return list(_windows(graph, graph.ordered(), means or Means()))


def _windows(graph: TaskGraph, ordered: Sequence[Task], means: Means) -> Iterator[Window]:
    for task in ordered:
        running = [Lag("", task.latest)] if task.latest is not None else []
        for gap in (*task.within, *running):
            names = graph.between(gap.task, task.id)
            inside = [one for one in ordered if one.id in names]
            work: Counter[str] = Counter()
            for one in inside:
                surely = one.takes & one.takes_instead
                work.update(dict.fromkeys((name for name in surely if means.of(name) == 1), one.seconds))
            way = graph.way(inside, gap.task, task.id)
            least = max([way, *work.values()])
            yield Window(gap.task, task.id, gap.seconds, tuple(one.id for one in inside), least)
