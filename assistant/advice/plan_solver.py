"""Asks CP-SAT for the order of a plan. Adapter of ortools, for plans.

One worker, a fixed seed and a limit of deterministic work: the same plan always gets the same answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.advice.plan_net import Net, Timetable

MOST_WORK = 0.1
_SHARED = 50
"""Most work of the solver in its own deterministic measure, and for so many blocks squared a share of this.

One unit takes the longer the more blocks there are: so a plan of many does not take long (``tests.bench``).
"""
_SEED = 15


@dataclass(frozen=True, slots=True)
class Solved:
    """The order of the blocks, or None; whether it is the best, and whether there can be none at all."""

    order: Timetable | None
    bound: int
    proven: bool
    impossible: bool


def solve(net: Net, best: Timetable | None, bound: int) -> Solved:
    """Return the order with the earliest end that the solver finds; ``best`` is known already, None for none.

    Only what ends sooner than that is looked for: where there is nothing, it is proven to be the best. No plan is
    shorter than ``bound`` [s].
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - 0.3 s and 90 MB, which a job start must not take

    model = cp_model.CpModel()
    most = _most(net) if best is None else max(map(sum, zip(best.starts, net.lengths, strict=True))) - 1
    starts = []
    for early, last, tail in zip(net.heads() or net.earliest, net.latest, net.tails(), strict=True):
        late = most - tail if last is None else min(last, most - tail)
        if late < early:
            return _nothing(best, most)
        starts.append(model.new_int_var(early, late, ""))
    end = model.new_int_var(bound, most, "")
    behind = set()
    for one, other, seconds in net.arcs:
        model.add(starts[other] >= starts[one] + seconds)
        if seconds + net.lengths[other] >= net.lengths[one]:
            behind.add(one)
    for one, other, seconds in net.limits:
        model.add(starts[other] <= starts[one] + seconds)
    for block in set(range(net.size)) - behind:
        model.add(starts[block] + net.lengths[block] <= end)
    others = {block: model.new_bool_var("") for block in net.instead}
    for name in _scarce(net):
        spans, taken = [], []
        for block in range(net.size):
            for span, takes in _spans(model, net, block, starts[block], others.get(block), name):
                spans.append(span)
                taken.append(takes)
        if net.has[name] == 1:
            model.add_no_overlap(spans)
        else:
            model.add_cumulative(spans, taken, net.has[name])
    _keep_out_unknown(model, net, starts)
    model.minimize(end)
    solver = _solver(cp_model, net)
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        given = frozenset(block for block, other in others.items() if solver.value(other))
        found = Timetable([solver.value(start) for start in starts], given)
        return Solved(found, round(solver.best_objective_bound), status == cp_model.OPTIMAL, impossible=False)
    return (
        _nothing(best, most) if status == cp_model.INFEASIBLE else Solved(None, bound, proven=False, impossible=False)
    )


def _nothing(best: Timetable | None, most: int) -> Solved:
    """Return the answer where no order ends by ``most`` [s]: what is known is the best, or there is none at all."""
    return Solved(None, most + 1, proven=best is not None, impossible=best is None)


def _solver(cp_model: Any, net: Net) -> Any:
    """Return a solver with its limit of work; what takes long before its search and helps little here is off."""
    solver = cp_model.CpSolver()
    chosen = solver.parameters
    chosen.num_workers, chosen.random_seed = 1, _SEED
    chosen.max_deterministic_time = min(MOST_WORK, _SHARED / net.size**2)
    chosen.linearization_level = chosen.cp_model_probing_level = chosen.symmetry_level = 0
    chosen.max_presolve_iterations = 1
    chosen.use_precedences_in_disjunctive_constraint = False
    return solver


def _scarce(net: Net) -> Iterator[str]:
    """Yield the people and tools that the order hangs on: not those of which all users take one other thing, too."""
    users: dict[str, set[int]] = {}
    surely: dict[str, set[int]] = {}
    for block, taken in enumerate(net.takes):
        instead = net.instead.get(block, taken)
        for name in taken | instead:
            users.setdefault(name, set()).add(block)
        for name in taken & instead:
            surely.setdefault(name, set()).add(block)
    bound: list[str] = []
    for name in sorted(users, key=lambda one: (-len(users[one]), one)):
        if not any(net.has[other] == 1 and users[name] <= surely.get(other, set()) for other in bound):
            bound.append(name)
            yield name


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


def _most(net: Net) -> int:
    """Return a time by which every order that there is can be over [s]."""
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
