"""Notices what cannot tell by itself: a listening that hangs, a voice without end, a loop that stands still."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Protocol

from assistant.worker import OnFailure, Worker

LISTENER_S = 10.0
"""A recogniser that is at one block for so long hangs [s]; the slowest machine takes less than a second."""
UTTERANCE_S = 30.0
"""Who speaks for longer than this [s] is told of: nothing is heard meanwhile without a headset."""
STUCK_S = 20.0
"""What sounds and gives the sound card nothing for so long is stuck [s]; three tries of an engine take 15 s."""
LOOP_S = 10.0
"""A loop that is at one answer for so long stands still [s]: a disk that does not answer, for example."""
_LOOK_S = 1.0


class WatchedListening(Protocol):
    """What is seen of a listening."""

    @property
    def silent_s(self) -> float:
        """For how long it gave no sign of life [s]."""

    def replace(self) -> None:
        """Leave what hangs to itself, and listen with another recogniser."""


class WatchedSpeaker(Protocol):
    """What is seen of a speaker."""

    played: int

    def is_sounding(self) -> bool:
        """Return whether anything sounds or is about to."""

    def rescue(self) -> None:
        """Take nothing for sounding any more."""


class Watchdog:
    """Looks every second."""

    def __init__(
        self,
        listening: WatchedListening,
        speaker: WatchedSpeaker,
        loop_silent_s: Callable[[], float],
        *,
        on_long: Callable[[], None],
        on_loop: Callable[[], None],
        on_failure: OnFailure,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        """Watch ``listening``, ``speaker`` and the loop, which was silent for ``loop_silent_s()`` seconds.

        ``on_long`` is called when an utterance lasts over 30 s, ``on_loop`` when the loop stands still, each once.
        ``clock`` tells seconds that never step.
        """
        self._listening, self._speaker, self._loop_silent_s = listening, speaker, loop_silent_s
        self._on_long, self._on_loop = on_long, on_loop
        self._clock = clock
        self._sounding_since: float | None = None
        self._long_told = self._loop_told = False
        self._played, self._played_at = 0, 0.0
        self._closing = threading.Event()
        self._worker = Worker("watchdog", self._work, on_failure=on_failure)

    def start(self) -> None:
        """Begin to look."""
        self._worker.start()

    def close(self) -> None:
        """Look no more."""
        self._closing.set()
        self._worker.close()

    def _work(self, go_on: Callable[[], bool]) -> None:
        while go_on() and not self._closing.wait(_LOOK_S):
            self.look()

    def look(self) -> None:
        """Look once."""
        if self._listening.silent_s > LISTENER_S:
            self._listening.replace()
        self._look_at_speaker(self._clock())
        stands = self._loop_silent_s() > LOOP_S
        if stands and not self._loop_told:
            self._on_loop()
        self._loop_told = stands

    def _look_at_speaker(self, now: float) -> None:
        if not self._speaker.is_sounding():
            self._sounding_since, self._long_told = None, False
            return
        if self._sounding_since is None:
            self._sounding_since = now
            self._played, self._played_at = self._speaker.played, now
        if self._speaker.played != self._played:
            self._played, self._played_at = self._speaker.played, now
        if now - self._played_at > STUCK_S:
            self._speaker.rescue()
            self._played_at = now
        if now - self._sounding_since > UTTERANCE_S and not self._long_told:
            self._long_told = True
            self._on_long()
