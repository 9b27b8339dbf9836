"""How long a very long programme takes to expand and to find tools for: ``python -m tests.bench.fastening``.

The programme is read from a procedure, as a job has it: three groups of bolts, four torques with limits and drag
through a crowfoot, two further angles. Reading the file is not in the time.
"""

from __future__ import annotations

import statistics
import time
from datetime import date
from pathlib import Path

from assistant.fastening.choice import Need
from assistant.fastening.programme import expand
from assistant.fastening.programme_check import programme_faults
from assistant.fastening.quantities import Torque
from assistant.fastening.tool_plan import plan
from assistant.procedure.format.reader import read_text
from assistant.procedure.model import Procedure
from assistant.procedure.steps.programmes import programme_of
from assistant.procedure.steps.tighten import TightenStep
from tests.tools import tool_box

GROUPS = {"rim": (1, 80), "web": (81, 160), "foot": (161, 200)}
BOLTS = 200
STAGES = 6
TODAY = date(2026, 1, 10)
TOOLS = {
    "wrenches": [
        {
            "id": f"w{high}",
            "name": "wrench",
            "type": "II A",
            "unit": "N·m",
            "low": low,
            "high": high,
            "graduation": step,
            "lever": "400 mm",
            "calibrated": "2025-09-01",
        }
        for low, high, step in ((2, 25, "0.1"), (10, 60, "0.5"), (20, 120, 1), (40, 200, 1))
    ],
    "multipliers": [{"id": "x4", "name": "multiplier", "torque_ratio": 4, "gear_ratio": 5, "rated_output": "700 N·m"}],
    "adapters": [{"id": "crowfoot", "name": "crowfoot", "length": "50 mm"}],
}
_GOOD = Path(__file__).parents[1] / "procedure" / "good" / "bench-check.yaml"


def procedure() -> Procedure:
    """Return a procedure with six stages over all bolts."""
    groups = "".join(
        f"  - {{id: {name}, name: {name} bolts, size: ten millimetre, bolts: {first}-{last}}}\n"
        for name, (first, last) in GROUPS.items()
    )
    runs = "[" + ", ".join(f"{{group: {name}, bolts: all}}" for name in GROUPS) + "]"
    access = "limits: ± 8 %, drag: 2 N·m, adapter: {length: 50 mm}, "
    stages = [f"torque: {value} N·m, {access}" for value in (12, 20, 35, 60)] + ["angle: 90°, "] * 2
    step = "      - tighten: Tighten all bolts.\n        stages:\n"
    step += "".join(f"          - {{{stage}tool: wrench, runs: {runs}}}\n" for stage in stages)
    text = _GOOD.read_text(encoding="utf-8").replace("groups:\n", f"groups:\n{groups}")
    reading = read_text(text.replace("closing:\n", f"{step}closing:\n").encode(), "bench")
    assert reading.procedure is not None, reading.findings
    return reading.procedure


def once_ms(it: Procedure) -> float:
    """Return the time [ms] to make, check, expand and plan the whole programme of ``it`` once."""
    box = tool_box(TOOLS)
    step = it.steps[-1]
    assert isinstance(step, TightenStep)
    begun = time.perf_counter()
    written = programme_of(step, it)
    assert not programme_faults(written)
    access = {(n, run.group): run for n, stage in enumerate(step.stages, 1) for run in stage.runs}
    stages: dict[int, list[Need]] = {}
    for action in expand(written):
        target = action.target
        if isinstance(target.value, Torque):
            run = access[action.planned, action.group]
            stages.setdefault(action.turn, []).append(
                Need(target.value, target.low, target.high, run.drag, "crowfoot" if run.adapter else None)
            )
    plans = [plan(needs, box, TODAY) for needs in stages.values()]
    took = (time.perf_counter() - begun) * 1000
    assert sum(len(found.choices) for found in plans) == BOLTS * 4
    assert all(choice is not None for found in plans for choice in found.choices), [p.faults for p in plans]
    return took


def times_ms() -> list[float]:
    """Return 40 times [ms]."""
    it = procedure()
    return [once_ms(it) for _ in range(40)]


def lines() -> list[str]:
    """Measure and return one line for the figure."""
    times = times_ms()
    return [
        f"programme of {BOLTS} bolts and {STAGES} stages, expanded and planned: median "
        f"{statistics.median(times):.1f} ms, worst {max(times):.1f} ms ({len(times)} times; must be under 50 ms)"
    ]


if __name__ == "__main__":
    print("\n".join(lines()))
