"""How long a plan of 200 steps takes: ``python -m tests.bench --only planning``.

Steps, needs, waits, open times and tools are drawn with a fixed seed; one in eight steps is a wait, and most need one
or two of the six before them, so that there is much more to choose than a procedure leaves. The solver works to its
limit in half of them. Its library is loaded before, which takes 0.3 s once. Times are processor time: whatever else the
machine does counts for nothing.
"""

from __future__ import annotations

import random
import time

from assistant.advice.plan import plan_of
from assistant.advice.tasks import Lag, Task
from assistant.faults import Fault
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


def figures(tell: Tell) -> list[Figure]:
    """Measure."""
    tell("plans of 200 steps")
    plan_of(steps(0))  # loads the solver
    times, proven = [], 0
    for seed in range(20):
        tasks = steps(seed)
        before = time.process_time()
        made = plan_of(tasks)
        times.append(1000 * (time.process_time() - before))
        proven += not isinstance(made, Fault) and made.proven
    row = in_a_row()
    before = time.process_time()
    plan_of(row)
    plain = 1000 * (time.process_time() - before)
    return [
        *spread(f"Plan of {STEPS} steps with much to choose", times, "ms", 200, None),
        Figure("of 20 such plans, proven to be the shortest", proven, ""),
        Figure(f"Plan of {STEPS} steps in a row with a wait", plain, "ms", 200),
    ]
