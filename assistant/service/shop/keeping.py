"""Keeps a few programs at work until it is told to stop: what ends is told, and begun again if it should not end."""

from __future__ import annotations

import contextlib
import os
import select
import signal
import subprocess
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.files import private_file

MARK = "ASSISTANT_SHOP"
"""The variable by which programs of a workshop to try out are known, also when who started them is gone."""
BEGUN_AGAIN_S = (1.0, 30.0)
"""So long [s] a program that ended is waited with before it is begun again: at first, and at most."""
_END_S = 15.0
_ROUNDS = 5
"""So often it is looked whether what was ended has started something meanwhile."""


@dataclass(frozen=True, slots=True)
class Program:
    """A program to keep: what it is called, its command and variables, and where its output goes.

    ``ends_with`` has the codes with which it may end; one without any is to go on.
    """

    name: str
    command: Sequence[str]
    around: Mapping[str, str]
    log: Path
    ends_with: frozenset[int] = frozenset()


@dataclass(slots=True)
class _Kept:
    program: Program
    process: subprocess.Popen[bytes] | None = None
    due: float = 0.0
    waits_s: float = BEGUN_AGAIN_S[0]


class Keeper:
    """Starts programs and looks after them; ``tell`` gets a sentence when one ends that should not."""

    def __init__(self, mark: str, tell: Callable[[str], object]) -> None:
        """Have none yet; ``mark`` is the value of the variable by which they are known."""
        self._mark, self._tell = mark, tell
        self._kept: list[_Kept] = []

    def start(self, program: Program) -> None:
        """Start ``program``, and keep it."""
        one = _Kept(program)
        self._kept.append(one)
        self._begin(one)

    def look(self, now: float) -> None:
        """See whether any ended; ``now`` is in seconds of a clock that never steps."""
        for one in list(self._kept):
            if one.process is not None and (code := one.process.poll()) is not None:
                one.process = None
                if one.program.ends_with:
                    self._kept.remove(one)
                    if code not in one.program.ends_with:
                        self._tell(f"{one.program.name} ended with {code}; see {one.program.log}")
                    continue
                one.due, one.waits_s = now + one.waits_s, min(2 * one.waits_s, BEGUN_AGAIN_S[1])
                self._tell(f"{one.program.name} ended with {code}, and is begun again; see {one.program.log}")
            if one.process is None and now >= one.due:
                self._begin(one)

    def has(self, name: str) -> bool:
        """Return whether the program called ``name`` is kept: one that may end is not, once it has."""
        return any(one.program.name == name for one in self._kept)

    def close(self) -> None:
        """End all, the last that was started first."""
        for one in reversed(self._kept):
            if one.process is not None:
                one.process.terminate()
        for one in reversed(self._kept):
            if one.process is not None:
                try:
                    one.process.wait(_END_S)
                except subprocess.TimeoutExpired:
                    one.process.kill()
                    one.process.wait()
        self._kept.clear()

    def _begin(self, one: _Kept) -> None:
        with private_file(one.program.log).open("ab") as log:
            one.process = subprocess.Popen(  # noqa: S603 - our own program
                one.program.command, env={**one.program.around, MARK: self._mark}, stdin=subprocess.DEVNULL, stdout=log,
                stderr=subprocess.STDOUT, start_new_session=True,
            )  # fmt: skip


def left_behind(mark: str) -> Iterator[int]:
    """Yield the processes that a keeper with this ``mark`` started and that still run."""
    wanted = f"{MARK}={mark}".encode()
    for process in Path("/proc").iterdir():
        if process.name.isdecimal():
            with contextlib.suppress(OSError):
                if wanted in (process / "environ").read_bytes().split(b"\0"):
                    yield int(process.name)


def end_left_behind(mark: str) -> int:
    """End them, and what they start while they end; return how many there were."""
    ended = 0
    for _ in range(_ROUNDS):
        handles = []
        for pid in left_behind(mark):
            with contextlib.suppress(ProcessLookupError):
                handles.append(os.pidfd_open(pid))
                signal.pidfd_send_signal(handles[-1], signal.SIGTERM)
        if not handles:
            break
        for handle in handles:
            if not select.select([handle], [], [], _END_S)[0]:  # it can be read when that process has ended
                with contextlib.suppress(ProcessLookupError):
                    signal.pidfd_send_signal(handle, signal.SIGKILL)
                select.select([handle], [], [], _END_S)
            os.close(handle)
        ended += len(handles)
    return ended
