"""How long a very long programme takes to expand and to find tools for: ``python -m tests.bench.fastening``."""

from __future__ import annotations

import statistics
import time
from datetime import date
from decimal import Decimal

from assistant.fastening.choice import Need, plan
from assistant.fastening.programme import BoltRun, Programme, ProgrammeStage, Target, Way, expand
from assistant.fastening.programme_check import check
from assistant.fastening.tool_file import read_tools
from assistant.fastening.units import Angle, AngleUnit, Torque, TorqueUnit

BOLTS = 200
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
}


def programme() -> Programme:
    """Return six stages over all bolts: four torques, two further angles."""
    bolts = tuple(range(1, BOLTS + 1))
    targets = [(Way.TORQUE, Torque(Decimal(value), TorqueUnit.NEWTON_METRE)) for value in (12, 20, 35, 60)]
    angles = [(Way.ANGLE, Angle(Decimal(90), AngleUnit.DEGREE))] * 2
    return Programme(
        tuple(ProgrammeStage(way, (BoltRun("cover", bolts, Target(value)),)) for way, value in (*targets, *angles))
    )


def once_ms() -> float:
    """Return the time [ms] to check, expand and plan the whole programme once."""
    box, faults = read_tools(TOOLS)
    assert not faults, faults
    written = programme()
    begun = time.perf_counter()
    assert not check(written)
    stages: dict[int, list[Need]] = {}
    for action in expand(written):
        if isinstance(action.target.value, Torque):
            stages.setdefault(action.stage, []).append(Need(action.target.value))
    plans = [plan(needs, box, TODAY) for needs in stages.values()]
    took = (time.perf_counter() - begun) * 1000
    assert sum(len(found.choices) for found in plans) == BOLTS * 4
    assert all(choice is not None for found in plans for choice in found.choices)
    return took


def lines() -> list[str]:
    """Measure and return one line for the figure."""
    times = [once_ms() for _ in range(40)]
    return [
        f"programme of {BOLTS} bolts and 6 stages, expanded and planned: median {statistics.median(times):.1f} ms, "
        f"worst {max(times):.1f} ms ({len(times)} times; must be under 50 ms)"
    ]


if __name__ == "__main__":
    print("\n".join(lines()))
