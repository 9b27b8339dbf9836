"""Asks the writer of free speech for its opinion on an utterance: in time, or not at all.

The writer works in a process of its own, on a thread of its own here. Whoever listens waits for its answer for a
moment; an answer that comes later is dropped, and while one is awaited nothing else is asked. So a computer that is too
slow, a writer that hangs, breaks or is not there lose nothing: the engine's word stands.

Nobody waits longer for a phrase that was surely heard: the writer begins when the word fades, and is done when the
silence behind it is long enough.
"""

from __future__ import annotations

import math
import queue
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from assistant.events import Clarity, Grammar, Heard, Then, Thresholds
from assistant.language.port import Language
from assistant.voice.listening.by_keywords import choice_by_keywords
from assistant.voice.listening.second_opinion import SAID_AGAIN_S, doubt_counts, is_asked, second_look
from assistant.voice.ports import RATE, Samples, Writer, Written
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

    def begin(self, sound: Samples) -> None:
        """Begin to write down ``sound``, shape (n,), about which will be asked; nothing is waited for."""

    def ask(self, sound: Samples, said: Sequence[str] = ()) -> Written | None:
        """Return what is written of ``sound``, shape (n,), beside each of ``said``; None where there is no answer."""

    def close(self) -> None:
        """End it; the next question begins it anew."""


class SecondOpinion:
    """Makes of what the engine heard, and of what is written of the same sound, what counts."""

    def __init__(self, asks: Asks, language: Language) -> None:
        """Ask ``asks``; phrases and numbers are those of ``language``."""
        self._asks, self._language = asks, language
        self._begun: Samples | None = None
        self._kept_out, self._kept_out_at = "", -math.inf

    def prepare(self) -> None:
        """Begin to load what answers."""
        self._asks.prepare()

    def begin(self, sound: Samples) -> None:
        """Begin with ``sound``, shape (n,): the word in it may be over."""
        self._begun = sound
        self._asks.begin(sound)

    def forget(self) -> None:
        """Forget the sound that was begun with: the word was not over."""
        self._begun = None

    def on(
        self,
        heard: Heard,
        sound: Callable[[], Samples],
        grammar: Grammar,
        limits: Thresholds,
        *,
        noisy: bool = False,
    ) -> Heard:
        """Return what counts of ``heard``, whose ``sound`` may be asked about; ``noisy``: it stands little above noise.

        What was surely heard is asked about by the sound that was begun with, and by the whole one where that leaves a
        doubt.
        """
        begun, self._begun = self._begun, None
        if not is_asked(heard, grammar, limits):
            return heard
        is_sure = heard.clarity is Clarity.PHRASE and heard.confidence >= limits.critical
        found = heard
        for asked in (begun, None) if begun is not None and is_sure else (None,):
            whole = sound() if asked is None else asked
            written = self._asks.ask(whole)
            if written is not None and doubt_counts(heard, written, grammar, self._language):
                written = self._asks.ask(whole, (heard.text,))
            if written is None:
                return heard
            found = second_look(heard, written, grammar, limits, self._language, noisy=noisy)
            if found.clarity is Clarity.PHRASE:
                return found
        return self._said_again(heard, found) if is_sure else found

    def among(self, heard: Heard, sound: Samples, words: Sequence[str]) -> Heard:
        """Return what counts of ``heard``, a forced choice of ``words``, whose ``sound`` has the shape (n,)."""
        written = self._asks.ask(sound, ())
        return heard if written is None else choice_by_keywords(heard, written, words)

    def _said_again(self, heard: Heard, found: Heard) -> Heard:
        """Return ``heard`` where the same was kept out just before, else ``found``, which keeps it out."""
        is_again = heard.text == self._kept_out and heard.started_at - self._kept_out_at <= SAID_AGAIN_S
        self._kept_out, self._kept_out_at = heard.text, heard.ended_at
        return heard if is_again else found

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

    def begin(self, sound: Samples) -> None:
        """Wait with ``sound``, shape (n,), until it is asked about: here nothing is late."""

    def ask(self, sound: Samples, said: Sequence[str] = ()) -> Written | None:
        """Return what is written of ``sound``, shape (n,), beside each of ``said``; None where nobody writes."""
        self.prepare()
        if self._writer is None:
            return None
        try:
            return self._writer.weigh(sound, said)
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


@dataclass(slots=True, eq=False)
class _Question:
    """A sound, the words that it may be, what was written of it, and whether that is done."""

    sound: Samples
    said: Sequence[str] = ()
    written: Written | None = None
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
        self._begun: _Question | None = None
        self._is_warm = threading.Event()
        self._worker: Worker | None = None

    def prepare(self) -> None:
        """Begin to load the writer, and let it write once, before anybody waits for it."""
        if self._worker is None:
            self._worker = Worker(
                SECOND_PART, self._run, on_failure=self._on_failure, mend=self._free, on_end=self._is_warm.clear
            )
            self._worker.start()

    def begin(self, sound: Samples) -> None:
        """Begin to write down ``sound``, shape (n,); one that was not begun with yet is dropped for it."""
        self.prepare()
        if self._is_warm.is_set() and not self._is_awaited():
            self._begun = _Question(sound)
            self._questions.put(self._begun)

    def ask(self, sound: Samples, said: Sequence[str] = ()) -> Written | None:
        """Return what is written of ``sound``, shape (n,), beside each of ``said``; None where that comes too late."""
        self.prepare()
        if self._is_awaited() or not self._is_warm.is_set():
            return None
        if self._begun is not None and self._begun.sound is sound and not said:
            self._last = self._begun
        else:
            self._last = _Question(sound, said)
            self._questions.put(self._last)
        self._last.done.wait(self._patience_s)
        return self._last.written

    def _is_awaited(self) -> bool:
        return self._last is not None and not self._last.done.is_set()

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
        self._writer.weigh(np.zeros(round(_WARM_S * RATE), dtype=np.int16), ())
        self._is_warm.set()
        while go_on():
            try:
                asked = self._questions.get(timeout=_LOOK_S)
            except queue.Empty:
                continue
            if asked is None or asked not in (self._begun, self._last):
                continue
            try:
                asked.written = self._writer.weigh(asked.sound, asked.said)
            finally:
                asked.done.set()

    def _free(self) -> None:
        """Free the writer, whatever it is doing."""
        self._is_warm.clear()
        writer, self._writer = self._writer, None
        if writer is not None:
            writer.close()
