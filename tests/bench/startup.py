"""From the start of the process ``assistant run`` to the first sentence that it says; the median of five starts.

The journal is new each time. The first start of all finds cold files on a machine that was just set up.
"""

from __future__ import annotations

import statistics

from tests.bench.figures import Figure, Tell
from tests.bench.live_bay import bay, job

TIMES = 5
LIMIT_S = 3.0


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return one figure."""
    took = []
    with bay():
        for number in range(1, TIMES + 1):
            tell(f"start {number} of {TIMES}")
            with job() as live:
                live.wait(lambda: live.first("said") is not None, "the first sentence")
                first = live.first("said")
                assert first
                took.append(first.at - live.began_at)
    remark = f"{TIMES} starts, {min(took):.2f} to {max(took):.2f} s"
    return [Figure("Start-up to ready, median", statistics.median(took), "s", LIMIT_S, remark)]
