"""What a measurement hands over, and the machine it was made on."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.terminal.trouble import failure_sentence
from assistant.worker import Failure

Tell = Callable[[str], None]
"""Called with what is being measured now."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of the table; ``value`` and ``limit`` are in ``unit``; the value must be under the limit."""

    what: str
    value: float
    unit: str
    limit: float | None = None
    remark: str = ""

    @property
    def is_kept(self) -> bool:
        """Whether there is no limit, or the value is under it."""
        return self.limit is None or self.value < self.limit


def spread(what: str, values: Sequence[float], unit: str, median: float | None, p95: float | None) -> list[Figure]:
    """Return the median and the 95th percentile (linear between ranks) of ``values`` with their limits."""
    remark = f"{len(values)} times, {min(values):.3g} to {max(values):.3g} {unit}"
    return [
        Figure(f"{what}, median", float(np.median(values)), unit, median, remark),
        Figure(f"{what}, 95th percentile", float(np.percentile(values, 95)), unit, p95),
    ]


def machine() -> str:
    """Return the processor, cores, kernel and Python in one line."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text("utf-8").splitlines() if info.exists() else []
    names = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    model = names[0] if names else platform.machine()
    return (
        f"{model}, {os.cpu_count()} cores, {platform.system()} {platform.release()}, Python {platform.python_version()}"
    )


def load() -> str:
    """Return how many processes wanted the processor in the last minute."""
    return f"{os.getloadavg()[0]:.1f}"


def tell_failure(failure: Failure) -> None:
    """Print that a part broke, beside the figures: what was measured after that was measured without it."""
    print(failure.sentence or failure_sentence(failure), file=sys.stderr)
