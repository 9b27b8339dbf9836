"""Asks CP-SAT for the order of a plan. Adapter of ortools, for plans.

One worker, a fixed seed and a limit of deterministic work: the same plan always gets the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from assistant.advice.plan_net import Net

WORK = 0.1
"""Most work of the solver, in its own deterministic measure; about so many seconds on one processor, with its start."""
_SEED = 15


@dataclass(frozen=True, slots=True)
class Solved:
    """Starts of the blocks [s], or None; whether they are the best, and whether there can be none at all."""

    starts: list[int] | None
    bound: int
    proven: bool
    impossible: bool


def solve(net: Net, hint: Sequence[int] | None, bound: int) -> Solved:
    """Return the starts with the earliest end that the solver finds; ``hint`` are good ones, None where none are known.

    No plan is shorter than ``bound`` [s].
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - 0.3 s and 90 MB, which a job start must not take

    model = cp_model.CpModel()
    most = _horizon(net, hint)
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
    for name, number in net.has.items():
        mine = [one for one in range(net.size) if net.takes[one][name]]
        spans = [model.new_fixed_size_interval_var(starts[one], net.lengths[one], "") for one in mine]
        if number == 1:
            model.add_no_overlap(spans)
        else:
            model.add_cumulative(spans, [net.takes[one][name] for one in mine], number)
    _keep_out_unknown(model, net, starts)
    for block, start in enumerate(hint or ()):
        model.add_hint(starts[block], start)
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = _SEED
    solver.parameters.max_deterministic_time = WORK
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        found = [solver.value(start) for start in starts]
        return Solved(found, round(solver.best_objective_bound), status == cp_model.OPTIMAL, impossible=False)
    return Solved(None, bound, proven=False, impossible=status == cp_model.INFEASIBLE)


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
