"""Control-C as a person presses it: once more when nothing came of it."""

from __future__ import annotations

import contextlib
import signal
import subprocess
from typing import Any

_TIMES, _EACH_S = 6, 10


def press_control_c(process: subprocess.Popen[Any]) -> None:
    """Press it until ``process`` ends, a minute at most.

    A program that is about to wait for input, or in the middle of a call that swallows it, does not notice it (Python,
    "Note on signal handlers and exceptions"): seldom, but on a busy machine it happens.
    """
    for _ in range(_TIMES):
        process.send_signal(signal.SIGINT)
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(_EACH_S)
            return
