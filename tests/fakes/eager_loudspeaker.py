"""A loudspeaker that plays as fast as it is given sound: a second of speech takes a millisecond."""

from __future__ import annotations

import threading
from collections.abc import Callable

import numpy as np

from assistant.voice.ports import Samples


class EagerLoudspeaker:
    """Pulls 10 ms at a time on a thread of its own, as a sound card does, only sooner; keeps the loudest sample."""

    rate_hz = 16_000
    latency_s = 0.0
    alive = True

    def __init__(self) -> None:
        """Be silent."""
        self.loudest = 0
        self.silent = threading.Event()
        """Set while nothing sounds."""
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to play."""

        def play() -> None:
            while not self._stop.is_set():
                peak = int(np.abs(pull(160).astype(int)).max())
                self.loudest = max(self.loudest, peak)
                if peak:
                    self.silent.clear()
                else:
                    self.silent.set()
                    self._stop.wait(0.001)

        self._thread = threading.Thread(target=play, daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop."""
        self._stop.set()
        if self._thread:
            self._thread.join()


class StuckLoudspeaker:
    """A loudspeaker that says it plays, and takes no sample."""

    rate_hz = 16_000
    latency_s = 0.0
    alive = True

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to do nothing."""

    def close(self) -> None:
        """Stop doing nothing."""
