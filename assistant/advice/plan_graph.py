"""The graph of the tasks of a plan: loops, an order to do them in, and the longest way. Adapter of networkx."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import networkx as nx

from assistant.advice.tasks import Task
from assistant.faults import Fault


def graph_fault(tasks: Sequence[Task]) -> Fault | None:
    """Return a loop in what the tasks need; None when there is none."""
    try:
        loop = nx.find_cycle(_graph(tuple(tasks)))
    except nx.NetworkXNoCycle:
        return None
    names = [edge[0] for edge in loop]
    first = min(range(len(names)), key=lambda at: names[at])
    said = " and ".join(f'"{name}"' for name in names[first:] + names[:first])
    what = f"{said} need each other in a loop" if len(names) > 1 else f"{said} needs itself"
    return Fault(f"{what}, so nothing of it can be done", "take one of these needs out")


def own_order(tasks: Sequence[Task]) -> list[Task]:
    """Return ``tasks`` so that each comes behind what it needs, and else as they are given."""
    place = {task.id: number for number, task in enumerate(tasks)}
    order = nx.lexicographical_topological_sort(_graph(tuple(tasks)), key=lambda name: place[str(name)])
    return [tasks[place[str(name)]] for name in order]


def must_between(tasks: Sequence[Task], first: str, last: str) -> set[str]:
    """Return what must be done behind ``first`` ("": now) up to ``last``, which is in it."""
    graph = _graph(tuple(tasks))
    before: set[str] = {*nx.ancestors(graph, last), last}
    return before & {str(name) for name in nx.descendants(graph, first)} if first else before


def way(tasks: Sequence[Task], first: str, last: str) -> int:
    """Return the longest time [s] from the start of ``first`` ("": now) to the end of ``last``, waits included."""
    graph = _graph(tuple(tasks))
    inside = must_between(tasks, first, last) | ({first} if first else set())
    by_id = {task.id: task for task in tasks}
    longest: dict[str, int] = {}
    for name in (task.id for task in own_order(tasks) if task.id in inside):
        starts = [longest[one] + graph.edges[one, name]["lag"] for one in graph.predecessors(name) if one in longest]
        longest[name] = max([by_id[name].earliest if not first else 0, *starts]) + by_id[name].seconds
    return longest[last]


def _before(task: Task) -> dict[str, int]:
    """Return what comes before a task, with how long after its end the task may start [s]."""
    found = dict.fromkeys((*task.needs, *(gap.task for gap in task.within)), 0)
    for gap in task.after:
        found[gap.task] = max(found.get(gap.task, 0), gap.seconds)
    return found


@lru_cache(maxsize=8)
def _graph(tasks: tuple[Task, ...]) -> nx.DiGraph[str]:
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(task.id for task in tasks)
    for task in tasks:
        for name, lag in _before(task).items():
            graph.add_edge(name, task.id, lag=lag)
    return graph
