"""The graph of the tasks of a plan: loops, an order to do them in, and the longest way. Adapter of networkx."""

from __future__ import annotations

from collections.abc import Sequence

import networkx as nx

from assistant.advice.tasks import Task
from assistant.faults import Fault


class TaskGraph:
    """What comes before what among ``tasks``, made once for all that is asked of it."""

    def __init__(self, tasks: Sequence[Task]) -> None:
        self._tasks = {task.id: task for task in tasks}
        self._graph: nx.DiGraph[str] = nx.DiGraph()
        self._graph.add_nodes_from(self._tasks)
        for task in tasks:
            for name, lag in _before(task).items():
                self._graph.add_edge(name, task.id, lag=lag)

    def fault(self) -> Fault | None:
        """Return a loop in what the tasks need; None when there is none."""
        try:
            loop = nx.find_cycle(self._graph)
        except nx.NetworkXNoCycle:
            return None
        names = [edge[0] for edge in loop]
        first = min(range(len(names)), key=lambda at: names[at])
        said = " and ".join(f'"{name}"' for name in names[first:] + names[:first])
        what = f"{said} need each other in a loop" if len(names) > 1 else f"{said} needs itself"
        return Fault(f"{what}, so nothing of it can be done", "take one of these needs out")

    def ordered(self) -> list[Task]:
        """Return the tasks so that each comes behind what it needs, and else as they were given."""
        place = {name: number for number, name in enumerate(self._tasks)}
        order = nx.lexicographical_topological_sort(self._graph, key=lambda name: place[str(name)])
        return [self._tasks[str(name)] for name in order]

    def between(self, first: str, last: str) -> set[str]:
        """Return what must be done behind ``first`` ("": now) up to ``last``, which is in it."""
        before: set[str] = {*nx.ancestors(self._graph, last), last}
        return before & {str(name) for name in nx.descendants(self._graph, first)} if first else before

    def way(self, inside: Sequence[Task], first: str, last: str) -> int:
        """Return the longest time [s] from the end of ``first`` ("": from now) to that of ``last``, waits included.

        ``inside`` is what lies between, in an order in which it can be done.
        """
        ends = {first: 0} if first else {}
        for task in inside:
            gaps = self._graph.pred[task.id]
            starts = [ends[one] + gap["lag"] for one, gap in gaps.items() if one in ends]
            ends[task.id] = max([task.earliest if not first else 0, *starts]) + task.seconds
        return ends[last]


def _before(task: Task) -> dict[str, int]:
    """Return what comes before a task, with how long after its end the task may start [s]."""
    found = dict.fromkeys((*task.needs, *(gap.task for gap in task.within)), 0)
    for gap in task.after:
        found[gap.task] = max(found.get(gap.task, 0), gap.seconds)
    return found
