"""Tells when this computer stood still: then no test in real time can tell anything.

A virtual machine gets no processor for a second now and then, and what waits for a sound, or plays one, misses it. A
process of its own sleeps 20 ms again and again and writes down each time that this took far longer. So it is the
computer that is measured, and not the work of the tests.
"""

from __future__ import annotations

import atexit
import os
import subprocess
import sys
import tempfile
import time
from functools import cache

LATE_S = 0.1
"""From here on a sleep was too long [s]: sound cards and their programs keep about as much in store."""
LEAST_S, LEAST_SHARE = 0.5, 0.02
"""A computer that stood still for longer, and for a larger part of the time, cannot work in real time."""
_WATCH = f"""
import os, time
parent = os.getppid()
print(time.monotonic(), 0.0, flush=True)
while os.getppid() == parent:
    began = time.monotonic()
    time.sleep(0.02)
    late = time.monotonic() - began - 0.02
    if late > {LATE_S}:
        print(time.monotonic(), late, flush=True)
"""


class Watch:
    """Watches this computer from its making until ``stop``, or the end of the process that made it."""

    def __init__(self) -> None:
        self._told = tempfile.TemporaryFile()  # noqa: SIM115 - until stop
        self.process = subprocess.Popen([sys.executable, "-S", "-E", "-c", _WATCH], stdout=self._told)

    def still_s(self, since: float) -> float:
        """Return for how many seconds the computer stood still after ``since`` on the monotonic clock."""
        return sum(late for at, late in self._lines() if at > since)

    def has_begun(self) -> bool:
        """Return whether it watches by now."""
        return bool(self._lines())

    def _lines(self) -> list[tuple[float, float]]:
        told = os.pread(self._told.fileno(), os.fstat(self._told.fileno()).st_size, 0)
        pairs = (line.split() for line in told.splitlines())
        return [(float(at), float(late)) for at, late in pairs]

    def stop(self) -> None:
        """End it."""
        self.process.kill()
        self.process.wait()
        self._told.close()


@cache
def watch() -> Watch:
    """Return the watch of this process, which begins now if there is none."""
    begun = Watch()
    atexit.register(begun.stop)
    return begun


def stood_still(since: float) -> str:
    """Return a sentence when the computer stood still for too long after ``since``; "" when it did not."""
    took = time.monotonic() - since
    still = watch().still_s(since)
    if still < max(LEAST_S, LEAST_SHARE * took):
        return ""
    return f"this computer stood still for {still:.1f} of {took:.0f} s: nothing in real time can be told here"
