"""Looks for the order of a plan: two rules and a lower bound first, and a solver where these leave a difference."""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Callable, Sequence

from assistant.advice.plan_net import Arc, Net, Timetable, net_of
from assistant.advice.plan_solver import solve
from assistant.advice.tasks import Means, Span, Task, WorkPlan
from assistant.faults import Fault


def searched(tasks: Sequence[Task], means: Means) -> WorkPlan | Fault:
    """Return the plan for ``tasks``, which stand in an order in which they can be done."""
    net = net_of(tasks, means)
    if net.heads() is None:
        return _no_order()
    bound, tails = max(lower_bound(net.surely), net.people_bound), net.tails()
    rules: tuple[Callable[[int], tuple[int, ...]], ...] = (lambda at: (at,), lambda at: (-tails[at], at))
    best: Timetable | None = None
    for rule in rules:
        made = by_rule(net, rule)
        if made is not None and (best is None or whole_end(net, made.starts) < whole_end(net, best.starts)):
            best = made
    if best is not None and whole_end(net, best.starts) == bound:
        return _made(tasks, net, best, bound, proven=True, solved=False)
    found = solve(net, best, bound)
    if found.impossible:
        return _no_order()
    best = found.order or best
    if best is None:
        return Fault("No order was found in which every open time is kept", "make fewer steps free, or plan by hand")
    done = net.given(best.given)
    pushed = Timetable(done.heads(order_arcs(done, best.starts)) or best.starts, best.given)
    return _made(tasks, net, pushed, max(bound, found.bound), proven=found.proven, solved=True)


def _no_order() -> Fault:
    return Fault(
        "There is no order in which every open time is kept",
        "correct the open times or the minutes of the steps, or move work out of them",
    )


def whole_end(net: Net, starts: Sequence[int]) -> int:
    """Return when the last block ends [s]."""
    return max(start + length for start, length in zip(starts, net.lengths, strict=True))


def by_rule(net: Net, rule: Callable[[int], tuple[int, ...]]) -> Timetable | None:
    """Return the blocks taken by ``rule``, smallest first, as soon as they can be, by others where these are free.

    While an open time runs, what need not come in it must leave it enough. None where that leads into a limit.
    """
    starts: dict[int, int] = {}
    by: dict[int, Counter[str]] = {}
    ends: list[tuple[int, int]] = []
    free = Counter(net.has)
    outs: list[list[tuple[int, int]]] = [[] for _ in range(net.size)]
    lacks = [0] * net.size
    for one, other, seconds in net.arcs:
        outs[one].append((other, seconds))
        lacks[other] += 1
    opened = [(began, joins, last, net.inside(began, joins)) for began, joins, last in net.windows()]
    soonest = list(net.earliest)
    coming = [(soonest[block], block) for block in range(net.size) if not lacks[block]]
    heapq.heapify(coming)
    ready, now = set[int](), 0
    while len(starts) < net.size:
        while ends and ends[0][0] <= now:
            free.update(by[heapq.heappop(ends)[1]])
        while coming and coming[0][0] <= now:
            ready.add(heapq.heappop(coming)[1])
        taken = False
        for block in sorted(ready, key=rule):
            ways = [net.instead[block]] if block in net.instead else []
            way = next((one for one in (*ways, net.takes[block]) if _is_free(free, one)), None)
            if way is None:
                continue
            if not all(_leaves_time(net, starts, block, now, window) for window in opened):
                continue
            starts[block], by[block] = now, way
            free.subtract(way)
            heapq.heappush(ends, (now + net.lengths[block], block))
            ready.remove(block)
            for other, seconds in outs[block]:
                soonest[other] = max(soonest[other], now + seconds)
                lacks[other] -= 1
                if not lacks[other]:
                    heapq.heappush(coming, (soonest[other], other))
            taken = True
            if not net.lengths[block]:
                break  # what needs it may come before all others
        if not taken:
            to_come = [first[0][0] for first in (ends, coming) if first]
            if not to_come:
                return None
            now = max(now, min(to_come))
    made = [starts[block] for block in range(net.size)]
    kept = all(made[joins] <= last + (made[began] if began >= 0 else 0) for began, joins, last in net.windows())
    given = frozenset(block for block in net.instead if by[block] is net.instead[block])
    return Timetable(made, given) if kept else None


def _is_free(free: Counter[str], wanted: Counter[str]) -> bool:
    return all(free[name] >= number for name, number in wanted.items())


def _leaves_time(
    net: Net, starts: dict[int, int], block: int, now: int, window: tuple[int, int, int, list[int]]
) -> bool:
    """Return whether ``block`` may begin ``now`` as far as an open time goes."""
    began, joins, last, must = window
    if joins in starts or block in must or (began >= 0 and began not in starts):
        return True
    if not net.takes[block]:
        return True
    until = last + (starts[began] if began >= 0 else 0)
    left = sum(net.lengths[one] for one in must if one not in starts and one != joins)
    return net.known[block] and now + net.lengths[block] + left <= until


def lower_bound(net: Net) -> int:
    """Return a time that no plan is shorter than [s]: the longest way, and what one person or tool must do in all.

    Source: one machine with heads and tails, preemptive: Jackson 1955, Carlier 1982 (from memory).
    """
    heads, tails = net.heads() or [0] * net.size, net.tails()
    single = [name for name, number in net.has.items() if number == 1]
    bound = max(head + tail for head, tail in zip(heads, tails, strict=True))
    for block in range(net.size):
        if net.before[block].bit_count() > 1 and net.forced(block):
            before = [one for one in range(block) if net.before[block] >> one & 1]
            for name in single:
                work = [(heads[one], net.lengths[one], 0) for one in before if net.takes[one][name]]
                heads[block] = max(heads[block], preemptive(work))
            heads = _pushed(net, heads)
    for name in single:
        mine = [one for one in range(net.size) if net.takes[one][name]]
        work = [(heads[one], net.lengths[one], tails[one] - net.lengths[one]) for one in mine]
        bound = max(bound, preemptive(work))
    for name, number in net.has.items():
        work_in_all = sum(net.takes[one][name] * net.lengths[one] for one in range(net.size))
        bound = max(bound, -(-work_in_all // number))
    return max(bound, *(head + tail for head, tail in zip(heads, tails, strict=True)))


def _pushed(net: Net, heads: list[int]) -> list[int]:
    for one, other, seconds in sorted(net.arcs):
        heads[other] = max(heads[other], heads[one] + seconds)
    return heads


def preemptive(work: Sequence[tuple[int, int, int]]) -> int:
    """Return how long one machine takes at least [s] for jobs of head, length and tail [s] that may be interrupted.

    >>> preemptive([(0, 6, 17), (10, 5, 7), (11, 7, 24), (13, 6, 26), (20, 4, 21), (30, 3, 8), (30, 2, 0)])
    49
    """
    coming = sorted(work, reverse=True)
    open_ones: list[list[int]] = []
    now = end = 0
    while coming or open_ones:
        if not open_ones:
            now = max(now, coming[-1][0])
        while coming and coming[-1][0] <= now:
            _, length, tail = coming.pop()
            heapq.heappush(open_ones, [-tail, length])
        first = open_ones[0]
        step = min(first[1], coming[-1][0] - now) if coming else first[1]
        now += step
        first[1] -= step
        if not first[1]:
            end = max(end, now - heapq.heappop(open_ones)[0])
    return end


def order_arcs(net: Net, starts: Sequence[int]) -> list[Arc]:
    """Return arcs that keep blocks in the order of ``starts`` which share a person or a tool.

    What nobody knows the length of stays on its side of every open time.
    """
    arcs: set[Arc] = set()
    for began, joins, _ in net.windows():
        must = net.inside(began, joins)
        for block in range(net.size):
            if net.known[block] or not net.takes[block] or block in (*must, began):
                continue
            if starts[block] >= starts[joins] + net.lengths[joins]:
                arcs.add((joins, block, net.lengths[joins]))
            elif began >= 0:
                arcs.add((block, began, net.lengths[block] - net.lengths[began]))
    for name, number in net.has.items():
        users = sorted(
            (one for one in range(net.size) if net.takes[one][name]),
            key=lambda one: (starts[one], starts[one] + net.lengths[one], one),
        )
        for place, one in enumerate(users):
            others = users[place + 1 : place + 2] if number == 1 else users[place + 1 :]
            arcs |= {
                (one, other, net.lengths[one]) for other in others if starts[one] + net.lengths[one] <= starts[other]
            }
    return sorted(arcs)


def _made(tasks: Sequence[Task], whole: Net, order: Timetable, bound: int, *, proven: bool, solved: bool) -> WorkPlan:
    net, starts = whole.given(order.given), order.starts
    spans = sorted(
        (
            Span(tasks[place].id, starts[block] + seconds, starts[block] + seconds + tasks[place].seconds)
            for block, members in enumerate(net.members)
            for place, seconds in members
        ),
        key=lambda one: (one.start, one.end),
    )
    end = whole_end(net, starts)
    chain = _bottleneck(net, starts)
    names = tuple(tasks[place].id for block in chain for place, _ in net.members[block])
    given = {tasks[place].id for block in order.given for place, _ in net.members[block]}
    return WorkPlan(
        tuple(spans), end, end if proven else bound, proven, names, solved,
        tuple(span.task for span in spans if span.task in given),
    )  # fmt: skip


def _bottleneck(net: Net, starts: Sequence[int]) -> list[int]:
    """Return the blocks of which each makes the next one wait, up to the one that ends last."""
    holds_back: list[list[int]] = [[] for _ in range(net.size)]
    for one, other, seconds in (*net.arcs, *order_arcs(net, starts)):
        if starts[one] + seconds == starts[other]:
            holds_back[other].append(one)
    at = max(range(net.size), key=lambda one: (starts[one] + net.lengths[one], -one))
    chain = [at]
    while True:
        holds = [one for one in holds_back[at] if one not in chain]
        if not holds or starts[at] == 0:
            return list(reversed(chain))
        at = max(holds, key=lambda one: (starts[one], one))
        chain.append(at)
