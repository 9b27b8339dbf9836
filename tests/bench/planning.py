"""How long a plan of 200 steps takes: ``python -m tests.bench --only planning``.

Steps, needs, waits, open times and tools are drawn with a fixed seed; one in eight steps is a wait, and most need one
or two of the six before them, so that there is much more to choose than a procedure leaves. The solver works to its
limit in half of them. Its library is loaded before, which takes 0.3 s once. Times are processor time: whatever else the
machine does counts for nothing.
"""

from __future__ import annotations

import random
import time
from dataclasses import replace

from assistant.advice.plan import plan_of
from assistant.advice.tasks import Lag, Means, Task
from assistant.faults import Fault
from assistant.session.plan_means import HELPER
from tests.bench.figures import Figure, Tell, spread

STEPS = 200


def steps(seed: int) -> list[Task]:
    """Return so many steps as tasks, made from ``seed``."""
    dice = random.Random(seed)
    made: list[Task] = []
    for number in range(STEPS):
        early = [f"t{one}" for one in range(max(0, number - 6), number)]
        if early and dice.random() < 0.12:
            begun = dice.choice(early)
            made.append(Task(f"t{number}", needs=(begun,), after=(Lag(begun, dice.randrange(300, 3600)),), people=()))
            continue
        needs = tuple(dict.fromkeys(dice.choice(early) for _ in range(dice.randrange(1, 3)))) if early else ()
        within = (Lag(dice.choice(early), 3000),) if early and dice.random() < 0.06 else ()
        tools = (dice.choice("abc"),)
        made.append(Task(f"t{number}", dice.randrange(30, 600), needs, within=within, tools=tools))
    return made


def shared(seed: int) -> list[Task]:
    """Return the same steps for two: three in ten may be done by a helper alone, and one in twenty takes both."""
    dice = random.Random(seed)
    made = []
    for task in steps(seed):
        way = dice.random() if task.people else 1.0
        both = replace(task, people=(*task.people, HELPER))
        made.append(replace(task, instead=(HELPER,)) if way < 0.3 else both if way < 0.35 else task)
    return made


def in_a_row() -> list[Task]:
    """Return so many steps that come one behind the other, as most procedures have them, with one wait."""
    made = [Task("t0", 60)]
    for number in range(1, STEPS):
        wait = number == STEPS // 2
        gap = (Lag(f"t{number - 1}", 1800),) if wait else ()
        made.append(
            Task(
                f"t{number}", 0 if wait else 60, (f"t{number - 1}",), after=gap, people=() if wait else Task("").people
            )
        )
    return made


def _measured(tasks: list[Task], means: Means) -> tuple[float, bool]:
    """Return how long the plan of ``tasks`` takes [ms], and whether it is proven to be the shortest."""
    before = time.process_time()
    made = plan_of(tasks, means)
    return 1000 * (time.process_time() - before), not isinstance(made, Fault) and made.proven


def figures(tell: Tell) -> list[Figure]:
    """Measure."""
    tell("plans of 200 steps")
    plan_of(steps(0))  # loads the solver
    alone = [_measured(steps(seed), Means()) for seed in range(20)]
    helped = [_measured(shared(seed), Means(people={HELPER: 1})) for seed in range(20)]
    row = in_a_row()
    before = time.process_time()
    plan_of(row)
    plain = 1000 * (time.process_time() - before)
    return [
        *spread(f"Plan of {STEPS} steps with much to choose", [ms for ms, _ in alone], "ms", 200, None),
        Figure("of 20 such plans, proven to be the shortest", sum(proven for _, proven in alone), ""),
        *spread(f"Plan of {STEPS} such steps for two people", [ms for ms, _ in helped], "ms", 200, None),
        Figure("of 20 such plans for two, proven to be the shortest", sum(proven for _, proven in helped), ""),
        Figure(f"Plan of {STEPS} steps in a row with a wait", plain, "ms", 200),
    ]
