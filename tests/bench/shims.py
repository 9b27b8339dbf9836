"""How long the shims of an engine with 24 valves, and a pack, take: ``python -m tests.bench.shims``.

Clearances and shims are drawn from a fixed number; about two valves of three are out of their band. Loading the solver
is not in the times, and has a line of its own.
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import time
from collections import Counter
from fractions import Fraction

from assistant.advice.packs import Play, work_out_pack
from assistant.advice.shims import Valve, work_out_shims

VALVES = 24
_STEP = 2_500
"""Grains of 0.05 mm."""
STOCK = Counter({5_000 + 2_500 * number: 2 + number % 2 for number in range(8)})
"""The shims for a pack: so many of each size [grains]."""


def engine(number: int) -> tuple[list[Valve], list[int], list[int]]:
    """Return the valves, the box and the sizes [grains] of an invented engine."""
    draw = random.Random(number)
    sizes = [100_000 + _STEP * n for n in range(25)]
    valves = [
        Valve(f"valve {n}", draw.randrange(2_500, 20_000, 500), draw.choice(sizes[4:-4]), 9_000, 12_000)
        for n in range(VALVES)
    ]
    return valves, [draw.choice(sizes) for _ in range(12)], sizes


def times_ms() -> list[float]:
    """Return 40 times [ms], each for another engine."""
    found = []
    for number in range(41):
        valves, box, sizes = engine(number)
        begun = time.perf_counter()
        work_out_shims(valves, box, sizes)
        found.append((time.perf_counter() - begun) * 1000)
    return found[1:]


def pack_times_ms() -> list[float]:
    """Return 40 times [ms] of a pack out of :data:`STOCK`, each for another play."""
    found = []
    for number in range(41):
        draw = random.Random(number)
        play = Play(Fraction(draw.randrange(15_000, 60_000, 500)), Fraction(2_500), Fraction(5_000), Fraction(-1))
        begun = time.perf_counter()
        work_out_pack(play, (12_500, 5_000), STOCK, Fraction(600))
        found.append((time.perf_counter() - begun) * 1000)
    return found[1:]


def loading_ms() -> float:
    """Return how long [ms] a new process takes to load the solver."""
    code = (
        "import time; t = time.perf_counter(); import ortools.graph.python.linear_sum_assignment; "
        "print((time.perf_counter() - t) * 1000)"
    )
    return float(subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout)


def lines() -> list[str]:
    """Measure and return the lines for the figures."""
    times, packs, loading = times_ms(), pack_times_ms(), loading_ms()
    return [
        f"shims of {VALVES} valves with a box of 12: median {statistics.median(times):.1f} ms, worst "
        f"{max(times):.1f} ms ({len(times)} engines; must be under 50 ms); loading the solver once: {loading:.0f} ms",
        f"pack out of {STOCK.total()} shims of {len(STOCK)} sizes: median {statistics.median(packs):.1f} ms, "
        f"worst {max(packs):.1f} ms",
    ]


if __name__ == "__main__":
    print("\n".join(lines()))
