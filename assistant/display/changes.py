"""Tells the pages of the office that there is something newer to show; what it is they fetch for themselves."""

from __future__ import annotations

import asyncio
import contextlib
import json
import secrets
import threading

_LOOK_S = 0.25


class Changes:
    """What :class:`assistant.display.stream.Stream` sends: a number that grows. Any thread may say that it did."""

    def __init__(self) -> None:
        """Have nothing newer yet."""
        self.boot = secrets.token_hex(4)
        self.closed = False
        self._lock = threading.Lock()
        self._seq = 1
        self._told = 0
        self._changed = asyncio.Event()

    @property
    def seq(self) -> int:
        """The number of the newest."""
        return self._seq

    def note(self) -> None:
        """Say that there is something newer."""
        with self._lock:
            self._seq += 1

    def close(self) -> None:
        """Let all streams end."""
        self.closed = True

    # For the event loop

    async def watch(self) -> None:
        """Wake the streams of this loop when there is something newer, until it is closed."""
        while not self.closed:
            await asyncio.sleep(_LOOK_S)
            if self._told != self._seq:
                self._told = self._seq
                self._wake()
        self._wake()

    def _wake(self) -> None:
        before, self._changed = self._changed, asyncio.Event()
        before.set()

    async def change(self, timeout_s: float) -> None:
        """Wait until something changed, at most ``timeout_s`` [s]."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._changed.wait(), timeout_s)

    def ear(self) -> str:
        """Return the sign of life, as JSON."""
        return "null"

    def newest(self) -> tuple[int, str]:
        """Return the number of the newest, and the same as JSON."""
        return self._seq, json.dumps({"boot": self.boot, "seq": self._seq})
