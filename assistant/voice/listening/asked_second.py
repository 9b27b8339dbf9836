"""Asks the writer of free speech for its opinion on an utterance: in time, or not at all.

The writer works in a process of its own, on a thread of its own here. Whoever listens waits for its answer for a
moment; an answer that comes later is dropped, and while one is awaited nothing else is asked. So a computer that is too
slow, a writer that hangs, breaks or is not there lose nothing: the engine's word stands.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from assistant.events import Grammar, Heard, Then, Thresholds
from assistant.language.port import Language
from assistant.voice.listening.second_opinion import is_asked, second_look
from assistant.voice.ports import RATE, Samples, Writer
from assistant.worker import Failures, OnFailure, Worker

SECOND_PART = "second_opinion"
OPINION_PATIENCE_S = 0.4
"""So long an answer is waited for [s]; usual is 0.05 to 0.13 s on one core that does other work as well."""
_LOOK_S = 0.5
_WARM_S = 0.5


class Asks(Protocol):
    """Whoever can be asked what is said in a sound."""

    def prepare(self) -> None:
        """Begin to load what answers."""

    def ask(self, sound: Samples) -> str | None:
        """Return what is written of ``sound``, shape (n,); None where there is no answer."""

    def close(self) -> None:
        """End it; the next question begins it anew."""


class SecondOpinion:
    """Makes of what the engine heard, and of what is written of the same sound, what counts."""

    def __init__(self, asks: Asks, language: Language) -> None:
        """Ask ``asks``; phrases and numbers are those of ``language``."""
        self._asks, self._language = asks, language

    def prepare(self) -> None:
        """Begin to load what answers."""
        self._asks.prepare()

    def on(
        self,
        heard: Heard,
        sound: Callable[[], Samples],
        grammar: Grammar,
        limits: Thresholds,
    ) -> Heard:
        """Return what counts of ``heard``, whose ``sound`` may be asked about."""
        if not is_asked(heard, grammar, limits):
            return heard
        written = self._asks.ask(sound())
        if written is None:
            return heard
        return second_look(heard, written, grammar, limits, self._language)

    def close(self) -> None:
        """End what answers; the next question begins it anew."""
        self._asks.close()


class AskedAtOnce:
    """Asks and waits for as long as it takes: for recordings, which are heard alike on every machine."""

    def __init__(self, make: Callable[[], Writer], *, on_failure: OnFailure) -> None:
        """Let ``make`` start the writer; ``on_failure`` is told when it breaks."""
        self._make = make
        self._failures = Failures(SECOND_PART, on_failure)
        self._writer: Writer | None = None
        self._gave_up = False

    def prepare(self) -> None:
        """Begin to load the writer."""
        if self._writer is None and not self._gave_up:
            try:
                self._writer = self._make()
            except Exception as fault:  # noqa: BLE001 - whatever it is, the engine's word stands
                self._broke(fault)

    def ask(self, sound: Samples) -> str | None:
        """Return what is written of ``sound``, shape (n,); None where nobody writes."""
        self.prepare()
        if self._writer is None:
            return None
        try:
            return self._writer.write(sound)
        except Exception as fault:  # noqa: BLE001 - an engine may raise anything
            self._broke(fault)
            return None

    def close(self) -> None:
        """Free the writer; the next question begins it anew."""
        writer, self._writer = self._writer, None
        if writer is not None:
            writer.close()

    def _broke(self, fault: Exception) -> None:
        self.close()
        self._gave_up = self._failures.note(fault) is Then.ENDED


@dataclass(slots=True)
class _Question:
    """A sound, what was written of it, and whether that is done."""

    sound: Samples
    written: str | None = None
    done: threading.Event = field(default_factory=threading.Event)


class AskedInTime:
    """The same for who listens in real time."""

    def __init__(
        self, make: Callable[[], Writer], *, on_failure: OnFailure, patience_s: float = OPINION_PATIENCE_S
    ) -> None:
        """Let ``make`` start the writer, on a thread of its own; an answer is waited for ``patience_s`` seconds."""
        self._make, self._on_failure, self._patience_s = make, on_failure, patience_s
        self._questions: queue.SimpleQueue[_Question | None] = queue.SimpleQueue()
        self._writer: Writer | None = None
        self._last: _Question | None = None
        self._is_warm = threading.Event()
        self._worker: Worker | None = None

    def prepare(self) -> None:
        """Begin to load the writer, and let it write once, before anybody waits for it."""
        if self._worker is None:
            self._worker = Worker(
                SECOND_PART, self._run, on_failure=self._on_failure, mend=self._free, on_end=self._is_warm.clear
            )
            self._worker.start()

    def ask(self, sound: Samples) -> str | None:
        """Return what is written of ``sound``, shape (n,); None where that is not known in time."""
        self.prepare()
        is_busy = self._last is not None and not self._last.done.is_set()
        if is_busy or not self._is_warm.is_set():
            return None
        self._last = _Question(sound)
        self._questions.put(self._last)
        self._last.done.wait(self._patience_s)
        return self._last.written

    def wait_until_warm(self, seconds: float) -> bool:
        """Wait so long [s] at most until it answers in time; return whether it does."""
        self.prepare()
        return self._is_warm.wait(seconds)

    def close(self) -> None:
        """End the thread and the writer; the next question begins both anew."""
        worker, self._worker = self._worker, None
        if worker is not None:
            self._questions.put(None)
            worker.close()
        self._free()

    def _run(self, go_on: Callable[[], bool]) -> None:
        self._writer = self._make()
        self._writer.write(np.zeros(round(_WARM_S * RATE), dtype=np.int16))
        self._is_warm.set()
        while go_on():
            try:
                asked = self._questions.get(timeout=_LOOK_S)
            except queue.Empty:
                continue
            if asked is None:
                continue
            try:
                asked.written = self._writer.write(asked.sound)
            finally:
                asked.done.set()

    def _free(self) -> None:
        """Free the writer, whatever it is doing."""
        self._is_warm.clear()
        writer, self._writer = self._writer, None
        if writer is not None:
            writer.close()
