"""Prints the label of a job that was closed: made by the program's own command, printed by ``lp``. The adapter of both.

It is done beside the loop, and nothing that goes wrong with it stops anything.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from assistant.worker import OnFailure, Worker

_MAKING_S = 120.0
_PRINTING_S = 30.0
_SHOWN = 200


def print_label(job: str, printer: str, *, lp: Sequence[str] = ("lp",)) -> str:
    """Print the label of ``job`` on ``printer``; return a sentence about what went wrong, or ""."""
    with tempfile.TemporaryDirectory(prefix="assistant-label-") as folder:
        label = Path(folder) / "label.pdf"
        made = _run([sys.executable, sys.argv[0], "label", job, "--pdf", str(label)], _MAKING_S)
        if made:
            return f"The label of job {job} could not be made ({made}); make it with: assistant label {job} --pdf FILE"
        printed = _run([*lp, "-d", printer, "-t", f"label {job}", "--", str(label)], _PRINTING_S)
        if printed:
            return (
                f'The label of job {job} could not be printed on "{printer}" ({printed}); see to the printer, and make '
                f"the label with: assistant label {job} --pdf FILE"
            )
    return ""


def _run(command: Sequence[str], most_s: float) -> str:
    """Run ``command``; return why it failed, or ""."""
    try:
        done = subprocess.run(  # noqa: S603 - our own program, or lp, with a name out of the settings as one argument
            command, stdin=subprocess.DEVNULL, capture_output=True, timeout=most_s, check=False
        )
    except FileNotFoundError:
        return f"there is no program {command[0]}: install cups-client"
    except subprocess.TimeoutExpired:
        return f"{Path(command[0]).name} took longer than {most_s:.0f} s"
    except OSError as fault:
        return f"{Path(command[0]).name} cannot be run: {fault.strerror}"
    if done.returncode == 0:
        return ""
    said = " ".join((done.stderr or done.stdout).decode(errors="replace").split())
    return said[:_SHOWN] or f"{Path(command[0]).name} ended with {done.returncode}"


class LabelPrinter:
    """Prints one label after the other, on threads of their own."""

    def __init__(self, printer: str, told: Callable[[str], None], on_failure: OnFailure) -> None:
        """Print on ``printer``; ``told`` gets what went wrong ("": it is printed)."""
        self._printer, self._told, self._on_failure = printer, told, on_failure
        self._workers: list[Worker] = []

    def print(self, job: str) -> None:
        """Begin to print the label of ``job``, where there is a printer."""
        if not self._printer:
            return

        def work(_go_on: Callable[[], bool]) -> None:
            self._told(print_label(job, self._printer))

        worker = Worker("label", work, on_failure=self._on_failure)
        self._workers.append(worker)
        worker.start()

    def close(self) -> None:
        """Wait for what is being printed, for as long as a label takes."""
        for worker in self._workers:
            worker.close(timeout_s=_PRINTING_S)
