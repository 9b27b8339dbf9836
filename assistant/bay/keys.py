"""Keys and a foot pedal (which is a keyboard) say the main words, whatever the noise; a reader's codes say none.

On a terminal, single keys act at once; ``:`` opens a line in which any phrase can be typed. When the standard input is
no terminal, every line is a phrase.
"""

from __future__ import annotations

import os
import selectors
import sys
import termios
import time
import tty
from collections.abc import Callable
from typing import IO, Any

from assistant.terminal.keys import HELD, KEYS, Decoder, Lines, Typing
from assistant.worker import OnFailure, Worker


class Keyboard:
    """Reads keys on its own thread and hands on what they mean; gives the terminal back as it was when closed."""

    def __init__(
        self, typing: Typing, *, pedal_key: str, stream: IO[Any] | None = None, on_failure: OnFailure | None = None
    ) -> None:
        """Watch ``stream`` (default: the standard input); ``pedal_key`` is the name in KEYS that the pedal sends.

        ``on_failure`` is told on the keyboard's own thread when that breaks.
        """
        self._typing = typing
        self._pedal = KEYS[pedal_key][0] if pedal_key in KEYS else ""
        self._fd = (stream or sys.stdin).fileno()
        self._before: list[Any] | None = None
        self._wake, self._woken = os.pipe()
        self._worker = Worker("keyboard", self._read, on_failure=on_failure or (lambda _failure: None))

    def start(self) -> None:
        """Begin to read."""
        if os.isatty(self._fd):
            self._before = termios.tcgetattr(self._fd)
            tty.setcbreak(self._fd)
        self._worker.start()

    def close(self) -> None:
        """Stop reading and restore the terminal."""
        os.write(self._woken, b"x")
        self._worker.close(timeout_s=1.0)
        if self._before is not None:
            termios.tcsetattr(self._fd, termios.TCSADRAIN, self._before)
        os.close(self._wake)
        os.close(self._woken)

    def _read(self, go_on: Callable[[], bool]) -> None:
        decode = Lines(self._typing) if self._before is None else Decoder(self._typing, self._pedal)
        with selectors.DefaultSelector() as selector:
            selector.register(self._wake, selectors.EVENT_READ)
            try:
                selector.register(self._fd, selectors.EVENT_READ)
            except PermissionError:  # a plain file: it never blocks, so it is read at once
                while data := os.read(self._fd, 1024):
                    decode.feed(data.decode("utf-8", "replace"), time.monotonic())
                return
            while go_on():
                due = decode.due
                ready = {
                    key.fd for key, _ in selector.select(None if due is None else max(0.0, due - time.monotonic()))
                }
                if self._wake in ready:
                    return
                if not ready:
                    decode.tick(time.monotonic())
                    continue
                data = os.read(self._fd, 1024)
                if not data:
                    return
                decode.feed(data.decode("utf-8", "replace"), time.monotonic())


def unbounced(press: Callable[[str, str], None]) -> Callable[[str, str], bool]:
    """Return ``press``, but the same button again within HELD seconds is a bounce, as it is for a key."""
    last: tuple[str, float] = ("", 0.0)

    def pressed(phrase: str, at: str) -> bool:
        nonlocal last
        now = time.monotonic()
        bounce = last[0] == phrase and now - last[1] <= HELD
        last = phrase, now
        if not bounce:
            press(phrase, at)
        return not bounce

    return pressed
