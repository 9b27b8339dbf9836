"""Asks CP-SAT for the order of a plan. Adapter of ortools, for plans.

One worker, a fixed seed and a limit of deterministic work: the same plan always gets the same answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.advice.plan_net import Net, Order

WORK = 0.1
"""Most work of the solver, in its own deterministic measure; about so many seconds on one processor, with its start."""
_SEED = 15


@dataclass(frozen=True, slots=True)
class Solved:
    """The order of the blocks, or None; whether it is the best, and whether there can be none at all."""

    order: Order | None
    bound: int
    proven: bool
    impossible: bool


def solve(net: Net, hint: Order | None, bound: int) -> Solved:
    """Return the order with the earliest end that the solver finds; ``hint`` is a good one, None where none is known.

    No plan is shorter than ``bound`` [s].
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - 0.3 s and 90 MB, which a job start must not take

    model = cp_model.CpModel()
    most = _horizon(net, None if hint is None else hint.starts)
    starts = [
        model.new_int_var(early, most if last is None else min(last, most), "")
        for early, last in zip(net.earliest, net.latest, strict=True)
    ]
    end = model.new_int_var(bound, most, "end")
    for one, other, seconds in net.arcs:
        model.add(starts[other] >= starts[one] + seconds)
    for one, other, seconds in net.limits:
        model.add(starts[other] <= starts[one] + seconds)
    for block, length in enumerate(net.lengths):
        model.add(starts[block] + length <= end)
    others = {block: model.new_bool_var("") for block in net.instead}
    for name, number in net.has.items():
        spans, taken = [], []
        for block in range(net.size):
            for span, takes in _spans(model, net, block, starts[block], others.get(block), name):
                spans.append(span)
                taken.append(takes)
        if number == 1:
            model.add_no_overlap(spans)
        else:
            model.add_cumulative(spans, taken, number)
    _keep_out_unknown(model, net, starts)
    if hint is not None:
        for block, start in enumerate(hint.starts):
            model.add_hint(starts[block], start)
        for block, other in others.items():
            model.add_hint(other, block in hint.given)
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = _SEED
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        given = frozenset(block for block, other in others.items() if solver.value(other))
        found = Order([solver.value(start) for start in starts], given)
        return Solved(found, round(solver.best_objective_bound), status == cp_model.OPTIMAL, impossible=False)
    return Solved(None, bound, proven=False, impossible=status == cp_model.INFEASIBLE)


def _spans(model: Any, net: Net, block: int, start: Any, other: Any, name: str) -> Iterator[tuple[Any, int]]:
    """Yield the spans in which a block takes ``name``, and how many: at most one of two, where others may do it."""
    mine, length = net.takes[block][name], net.lengths[block]
    theirs = net.instead[block][name] if other is not None else mine
    if mine == theirs:
        if mine:
            yield model.new_fixed_size_interval_var(start, length, ""), mine
        return
    for number, holds in ((mine, other.negated()), (theirs, other)):
        if number:
            yield model.new_optional_fixed_size_interval_var(start, length, holds, ""), number


def _horizon(net: Net, hint: Sequence[int] | None) -> int:
    if hint is not None:
        return max(start + length for start, length in zip(hint, net.lengths, strict=True))
    waits = sum(max(0, seconds) for _, _, seconds in net.arcs)
    return max(net.earliest) + sum(net.lengths) + waits


def _keep_out_unknown(model: Any, net: Net, starts: Sequence[Any]) -> None:
    """Let nothing of unknown length come into an open time in which it need not come."""
    for began, joins, _ in net.windows():
        must = net.inside(began, joins)
        for block in range(net.size):
            if net.known[block] or not net.takes[block] or block in (*must, began):
                continue
            behind = model.new_bool_var("")
            model.add(starts[block] >= starts[joins] + net.lengths[joins]).only_enforce_if(behind)
            if began < 0:
                model.add(behind == 1)
            else:
                model.add(starts[block] + net.lengths[block] <= starts[began]).only_enforce_if(behind.negated())
