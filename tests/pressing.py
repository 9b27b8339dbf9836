"""Control-C as a person presses it: once more when nothing came of it."""

from __future__ import annotations

import contextlib
import signal
import subprocess
from typing import Any

_TIMES, _EACH_S = 6, 10


def as_from_a_terminal() -> None:
    """For ``preexec_fn``: whoever began this run in the background leaves Control-C ignored for all that it starts."""
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    signal.signal(signal.SIGINT, signal.SIG_DFL)


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
