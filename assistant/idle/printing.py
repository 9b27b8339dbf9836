"""Prints the label of a job that was closed: set in a process of its own, printed by ``lp``. The adapter of both.

It is done beside the loop, and nothing that goes wrong with it stops anything.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Sequence

from assistant.idle import label_page
from assistant.worker import OnFailure, Worker

_MAKING_S = 120.0
_PRINTING_S = 30.0
_SHOWN = 200


def print_label(job: str, printer: str, size: tuple[float, float], *, lp: Sequence[str] = ("lp",)) -> str:
    """Print the label of ``job``, of this ``size`` [mm], on ``printer``; return what went wrong, a sentence, or ""."""
    again = f"make it with: assistant label {job} --pdf FILE"
    making = [sys.executable, "-P", "-m", label_page.__name__, job, *map(str, size)]
    label, fault = _output_of(making, b"", _MAKING_S)
    if fault:
        return f"The label of job {job} could not be made ({fault}); {again}"
    _, fault = _output_of([*lp, "-d", printer, "-t", f"label {job}", "-"], label, _PRINTING_S)
    if fault:
        return f'The label of job {job} could not be printed on "{printer}" ({fault}); see to the printer, and {again}'
    return ""


def _output_of(command: Sequence[str], given: bytes, most_s: float) -> tuple[bytes, str]:
    """Run ``command`` on ``given``; return what it writes, and why it failed, or ""."""
    name = command[0].rpartition("/")[2]
    try:
        done = subprocess.run(  # noqa: S603 - our own module, or lp, with names out of the journal and the settings
            command, input=given, capture_output=True, timeout=most_s, check=False
        )
    except FileNotFoundError:
        return b"", f"there is no program {name}: install cups-client"
    except subprocess.TimeoutExpired:
        return b"", f"{name} took longer than {most_s:.0f} s"
    except OSError as error:
        return b"", f"{name} cannot be run: {error.strerror}"
    if done.returncode == 0:
        return done.stdout, ""
    said = " ".join(done.stderr.decode(errors="replace").split())
    return b"", said.rstrip(".")[:_SHOWN] or f"{name} ended with {done.returncode}"


class LabelPrinter:
    """Prints each label on a thread of its own."""

    def __init__(
        self, printer: str, size: tuple[float, float], told: Callable[[str], None], on_failure: OnFailure
    ) -> None:
        """Print on ``printer`` ("": on none) labels of this ``size`` [mm]; ``told`` gets what went wrong, or ""."""
        self._printer, self._size, self._told, self._on_failure = printer, size, told, on_failure
        self._workers: list[Worker] = []

    def print(self, job: str) -> None:
        """Begin to print the label of ``job``, where there is a printer."""
        if not self._printer:
            return

        def work(_go_on: Callable[[], bool]) -> None:
            self._told(print_label(job, self._printer, self._size))

        self._workers = [one for one in self._workers if one.is_alive]
        self._workers.append(Worker("label", work, on_failure=self._on_failure))
        self._workers[-1].start()

    def close(self) -> None:
        """Wait for what is being printed, as long as that takes at most."""
        for worker in self._workers:
            worker.close(timeout_s=_MAKING_S)
