"""The ways of a customer's answer into the loop of the job that this process works on.

One is for the pages that this process serves; the other one looks for what another process has kept.
"""

from __future__ import annotations

import contextlib
import queue
import threading
from collections.abc import Callable

from assistant.bay.around import Runner
from assistant.bay.inbox import Inbox
from assistant.customer.customers import MakesAnswer, Took
from assistant.customer.waiting import KeptAnswer, collected_in, drop_answer, waiting_answers
from assistant.journal.port import JobHandle
from assistant.worker import Worker

_LOOP_S = 8.0
"""How long the loop of a job may take to take an answer [s]."""
_LOOK_S = 1.0
"""So often is looked for answers that wait [s]; a customer who watches sees nothing of it."""


def into(inbox: Inbox) -> Callable[[MakesAnswer], Took]:
    """Return what lets the loop behind ``inbox`` write an answer down, and waits for that."""

    def put(made: MakesAnswer) -> Took:
        done: queue.SimpleQueue[Took] = queue.SimpleQueue()

        def take(runner: Runner, now: float) -> None:
            took = Took.NOT_KEPT
            try:
                if runner.closed:
                    took = Took.CLOSED
                elif runner.customer(made(now), now):
                    took = Took.KEPT
            finally:
                done.put(took)

        inbox.put(take)
        try:
            return done.get(timeout=_LOOP_S)
        except queue.Empty:
            return Took.SLOW

    return put


class Post:
    """Takes in the answers to a job that other processes keep, as long as this one works on it."""

    def __init__(self, job: JobHandle, inbox: Inbox) -> None:
        """Be ready to ``start``; what is found goes through ``inbox``."""
        self._job, self._inbox = job, inbox
        self._there: set[str] | None = None
        """The answers that the journal has; None until that is asked."""
        self._on_the_way: set[str] = set()
        self._closing = threading.Event()
        self._worker = Worker("answers", self._work, on_failure=inbox.failed)

    def start(self) -> None:
        """Begin to look."""
        self._worker.start()

    def close(self) -> None:
        """Look no more."""
        self._closing.set()
        self._worker.close()

    def look(self) -> None:
        """Look once."""
        for one in waiting_answers(self._job.id):
            if one.name not in self._on_the_way:
                self._on_the_way.add(one.name)
                self._inbox.put(lambda runner, now, one=one: self._take(one, runner, now))  # type: ignore[misc]

    def _work(self, go_on: Callable[[], bool]) -> None:
        while go_on():
            self.look()
            if self._closing.wait(_LOOK_S):
                return

    def _take(self, one: KeptAnswer, runner: Runner, now: float) -> None:
        """Write ``one`` down; what breaks the session is not tried again by this process."""
        if self._there is None:
            self._there = collected_in(entry.fact for entry in self._job.entries())
        if one.name not in self._there:
            if runner.closed:
                return
            if not runner.customer(one.at(now), now, one.collected):
                self._on_the_way.discard(one.name)
                return
            self._there.add(one.name)
        with contextlib.suppress(OSError):  # the journal knows that it has it
            drop_answer(self._job.id, one.name)


def came_too_late(job: str) -> list[str]:
    """Return a sentence for each answer to ``job`` that came when it was closed already."""
    return [
        f"Extra work {one.answer.number} was {'granted' if one.answer.granted else 'declined'} on its page when job "
        f"{job} was closed: nothing comes of it, so please call whoever answered."
        for one in waiting_answers(job)
    ]
