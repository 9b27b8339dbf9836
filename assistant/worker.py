"""Supervised workers: a thread that breaks tells so, is built again, and after three failures in a minute gives way.

A thread that dies by an exception nobody expected leaves everything that it owned as it was, a microphone that is held
closed for example. So no thread is started but by :class:`Worker`, and a part that one thread owns (an engine, say) has
its failures counted by :class:`Failures`.
"""

from __future__ import annotations

import threading
import time
import traceback
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.events import Then

MOST = 3
"""So many failures ..."""
WITHIN_S = 60.0
"""... in so many seconds, and a part is not built again: another way takes its place."""
_PACKAGE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Failure:
    """One failure of ``part``: the class of the exception, and where in this package it came from ("" outside)."""

    part: str
    error: str
    at: str
    then: Then
    sentence: str = ""
    """What the exception itself has to say to a person, or ""."""


OnFailure = Callable[[Failure], None]
"""Called on the thread that failed: take a note and return."""


class Failures:
    """Counts the failures of one part and tells each of them."""

    def __init__(self, part: str, on_failure: OnFailure, *, clock: Callable[[], float] = time.monotonic) -> None:
        """Tell ``on_failure``; ``clock`` tells seconds that never step."""
        self._part = part
        self._tell = on_failure
        self._clock = clock
        self._times: deque[float] = deque(maxlen=MOST)

    def note(self, fault: BaseException, instead: Then = Then.ENDED) -> Then:
        """Count ``fault``, tell it, and return what follows: built again, or from the third in a minute on ``instead``.

        After that the count begins anew.
        """
        now = self._clock()
        self._times.append(now)
        then = Then.AGAIN
        if len(self._times) == MOST and now - self._times[0] <= WITHIN_S:
            then = instead
            self._times.clear()
        self._tell(
            Failure(self._part, type(fault).__name__, place_in_code(fault), then, getattr(fault, "sentence", ""))
        )
        return then


def place_in_code(fault: BaseException) -> str:
    """Return the innermost line of this package that ``fault`` came through, as "voice/speaking/mixer.py:91"."""
    for frame in reversed(traceback.extract_tb(fault.__traceback__)):
        path = Path(frame.filename)
        if path.is_relative_to(_PACKAGE):
            return f"{path.relative_to(_PACKAGE).as_posix()}:{frame.lineno}"
    return ""


_LEFT: list[str] = []


def left_hanging() -> bool:
    """Return whether a thread was left to itself because it gave no sign of life.

    It may be deep in a driver then, which does not bear that the process ends around it in an orderly way.
    """
    return bool(_LEFT)


class Stalled(Exception):
    """A part gave no sign of life; it is counted like any other failure."""


class Worker:
    """A thread with one piece of work, which is taken up again when it breaks."""

    def __init__(
        self,
        part: str,
        work: Callable[[Callable[[], bool]], None],
        *,
        on_failure: OnFailure,
        mend: Callable[[], None] = lambda: None,
        on_end: Callable[[], None] = lambda: None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """Be ready to ``start``.

        ``work`` gets a question that it must ask at every turn: it is its sign of life, and no answer but True lets it
        go on. After a failure ``mend`` builds again what may be broken, on the same thread, before ``work`` is called
        again. ``on_end`` is called when it is not taken up any more because it failed too often.
        """
        self.part = part
        self._work, self._mend, self._on_end = work, mend, on_end
        self._failures = Failures(part, on_failure, clock=clock)
        self._clock = clock
        self._seen_at = clock()
        self._closing = threading.Event()
        self._run = 0
        self._thread = self._thread_for(0)
        self.gave_up = False
        """Whether it failed too often and is not taken up any more."""

    def start(self) -> None:
        """Begin."""
        self._seen_at = self._clock()
        self._thread.start()

    @property
    def is_alive(self) -> bool:
        """Whether the thread runs."""
        return self._thread.is_alive()

    @property
    def silent_s(self) -> float:
        """For how long the work gave no sign of life [s]; zero when it does not run."""
        return self._clock() - self._seen_at if self.is_alive else 0.0

    def replace(self) -> None:
        """Leave a thread that gives no sign of life to itself and do its work on a new one; it counts as a failure.

        What the old one was at is not waited for; it ends at its next turn.
        """
        _LEFT.append(self.part)
        self._run += 1
        self._seen_at = self._clock()
        fault = Stalled(f"{self.part} gave no sign of life")
        if self._failures.note(fault) is Then.ENDED:
            self._give_up()
            return
        self._thread = self._thread_for(self._run, mend_first=True)
        self._thread.start()

    def close(self, timeout_s: float = 2.0) -> bool:
        """Let it end; return False when it did not within ``timeout_s`` seconds (it is a daemon, and is left alone)."""
        self._closing.set()
        if self._thread.is_alive() and self._thread is not threading.current_thread():
            self._thread.join(timeout_s)
            if self._thread.is_alive():
                _LEFT.append(self.part)
                return False
        return True

    def _thread_for(self, run: int, *, mend_first: bool = False) -> threading.Thread:
        return threading.Thread(
            target=self._supervised, args=(run, mend_first), name=self.part.replace("_", " "), daemon=True
        )

    def _supervised(self, run: int, broken: bool) -> None:
        def go_on() -> bool:
            if run != self._run or self._closing.is_set():
                return False
            self._seen_at = self._clock()
            return True

        while go_on():
            try:
                if broken:
                    self._mend()
                self._work(go_on)
            except Exception as fault:  # noqa: BLE001 - the one place where whatever breaks a thread is caught
                if run != self._run or self._closing.is_set():
                    return
                broken = True
                if self._failures.note(fault) is Then.ENDED:
                    self._give_up()
                    return
            else:
                return

    def _give_up(self) -> None:
        self.gave_up = True
        self._on_end()


class Guard:
    """Calls a part for somebody who must go on whatever the part does; one that fails too often is left alone."""

    def __init__(self, part: str, on_failure: OnFailure) -> None:
        """Tell ``on_failure`` each failure of ``part``."""
        self._failures = Failures(part, on_failure)
        self._is_left_alone = False

    def __call__(self, call: Callable[[], object]) -> None:
        """Do ``call``, unless it failed too often before."""
        if self._is_left_alone:
            return
        try:
            call()
        except Exception as fault:  # noqa: BLE001 - whatever it is, the caller goes on
            self._is_left_alone = self._failures.note(fault) is Then.ENDED
