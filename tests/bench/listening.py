"""What listening costs: processor time and memory of a live job that waits, in a quiet room and beside a compressor.

Processor time is user and system time of the process and its children (proc(5), fields 14 and 15 of ``stat``) over
20 s, as a share of one core. The compressor is low-passed noise with hum at -20 dBFS. Memory is VmRSS of the same.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

import numpy as np

from audio_fixtures.make_talks import RATE
from tests.bench.figures import Figure, Tell
from tests.bench.live_bay import Samples, bay, hiss, job

SECONDS = 20.0
SETTLE_S = 3.0
CPU_LIMIT = 25.0
MEMORY_LIMIT_MB = 350.0


def compressor(seconds: float) -> Samples:
    """Return steady loud noise with a hum of 50 Hz and its harmonics, 16 kHz, -20 dBFS, shape (n,)."""
    t = np.arange(round(seconds * RATE)) / RATE
    noise = np.convolve(np.random.default_rng(5).standard_normal(t.size), np.ones(6) / 6, mode="same")
    hum = sum(np.sin(2 * np.pi * 50 * n * t) / n for n in (1, 2, 3, 4))
    sound = noise / noise.std() + hum
    return np.rint(32767 * 0.1 * sound / sound.std()).clip(-32767, 32767).astype(np.int16)


def family(pid: int) -> list[int]:
    """Return the process and all that it started."""
    found = [pid]
    for parent in found:
        for task in Path(f"/proc/{parent}/task").glob("*/children"):
            found += [int(child) for child in task.read_text("ascii").split()]
    return found


def cpu_s(pid: int) -> float:
    """Return the processor time [s] that the process and its children have used."""
    total = 0
    for member in family(pid):
        fields = Path(f"/proc/{member}/stat").read_text("utf-8").rpartition(")")[2].split()
        total += int(fields[11]) + int(fields[12])  # the name, field 2, is cut off
    return total / os.sysconf("SC_CLK_TCK")


def memory_mb(pid: int) -> float:
    """Return the resident memory [MB, 10^6 bytes] of the process and its children."""
    status = [Path(f"/proc/{member}/status").read_text("utf-8") for member in family(pid)]
    kib = [int(line.split()[1]) for text in status for line in text.splitlines() if line.startswith("VmRSS")]
    return sum(kib) * 1024 / 1e6


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return the share of a core in silence and in noise, and the memory after both."""
    found = []
    with bay() as opened, job() as live:
        live.wait(lambda: live.first("said") is not None, "the first sentence")
        live.wait(lambda: not opened.is_silent(0.2), "the first sound")
        live.wait(lambda: opened.is_silent(1.0), "silence")
        pid = live.process.pid
        for name, sound in (("a quiet room", hiss(60)), ("steady noise", compressor(60))):
            tell(f"listening to {name} for {SECONDS:.0f} s")
            opened.room(sound)
            time.sleep(SETTLE_S)
            began, used = time.monotonic(), cpu_s(pid)
            time.sleep(SECONDS)
            share = 100 * (cpu_s(pid) - used) / (time.monotonic() - began)
            found.append(Figure(f"Processor while listening to {name}", share, "% of a core", CPU_LIMIT))
        found.append(Figure("Resident memory", memory_mb(pid), "MB", MEMORY_LIMIT_MB))
    return found
