"""Waits for something that happens in real time on real devices, and fails with a sentence when it does not."""

from __future__ import annotations

import time
from collections.abc import Callable


def until(happened: Callable[[], bool], what: str, seconds: float = 30.0) -> float:
    """Return how many seconds it took until ``happened``; fail after ``seconds``."""
    began = time.monotonic()
    while not happened():
        assert time.monotonic() - began < seconds, f"waited {seconds} s for {what}"
        time.sleep(0.005)
    return time.monotonic() - began
