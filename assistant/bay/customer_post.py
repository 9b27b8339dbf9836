"""The way of a customer's answer into the loop of the job that this process works on."""

from __future__ import annotations

import queue
from collections.abc import Callable

from assistant.bay.inbox import Inbox
from assistant.bay.runner import JobRunner
from assistant.customer.customers import MakesAnswer, Took

_LOOP_S = 8.0
"""How long the loop of a job may take to take an answer [s]."""


def into(inbox: Inbox) -> Callable[[MakesAnswer], Took]:
    """Return what lets the loop behind ``inbox`` write an answer down, and waits for that."""

    def put(made: MakesAnswer) -> Took:
        done: queue.SimpleQueue[Took] = queue.SimpleQueue()

        def take(runner: JobRunner, now: float) -> None:
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
