"""Tells the system's service manager how the bay is: the protocol of sd_notify(3), which is a line in a datagram.

A service of ``Type=notify`` finds in ``NOTIFY_SOCKET`` the name of a unix socket: a path, or an abstract name that
begins with "@" (unix(7): a zero byte stands in its place). It sends ``READY=1`` once all is open, ``WATCHDOG=1`` more
often than every ``WATCHDOG_USEC`` microseconds, ``STATUS=`` with a line for people, and ``STOPPING=1`` at its end.
Where there is no manager nothing is sent, so that whoever calls need not ask.
"""

from __future__ import annotations

import contextlib
import os
import socket
import time
from collections.abc import Callable, Mapping

from assistant.files import whole_number

_MOST_STATUS = 200
_PARTS = 4
"""A sign of life is sent this many times in the time that the manager waits: sd_watchdog_enabled(3) asks for two."""


class Manager:
    """The service manager of this process, if there is one."""

    def __init__(
        self, environment: Mapping[str, str] = os.environ, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        """Find it by ``environment``; ``clock`` tells seconds that never step."""
        self._address = _address(environment.get("NOTIFY_SOCKET", ""))
        self._clock = clock
        self.every_s = _every_s(environment)
        """How often a sign of life is sent [s]; 0 where none is awaited."""
        self._next_beat = -1.0
        self._status = ""

    @property
    def is_there(self) -> bool:
        """Whether anybody listens."""
        return self._address is not None

    def ready(self, status: str = "") -> None:
        """Tell that the service is up, and a line about it."""
        self._send("READY=1" + (f"\nSTATUS={_line(status)}" if status else ""))
        self._status = _line(status)

    def status(self, text: str) -> None:
        """Tell people a line, when it is another one than before; it must name no person."""
        if (line := _line(text)) != self._status:
            self._status = line
            self._send(f"STATUS={line}")

    def beat(self) -> None:
        """Give a sign of life; may be called as often as one likes, and sends no more than is wanted."""
        if not self.every_s or (now := self._clock()) < self._next_beat:
            return
        self._next_beat = now + self.every_s
        self._send("WATCHDOG=1")

    def stopping(self) -> None:
        """Tell that the service ends because it was asked to."""
        self._send("STOPPING=1")

    def _send(self, text: str) -> None:
        if self._address is None:
            return
        # Whoever does not listen any more, or cannot keep up, must not keep the bay waiting.
        with (
            contextlib.suppress(OSError),
            socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_CLOEXEC) as out,
        ):
            out.setblocking(False)
            out.sendto(text.encode("utf-8"), self._address)


def _address(name: str) -> bytes | None:
    """Return the address that ``name`` means; None where it names none that is known (sd_notify(3): "/" or "@")."""
    if not name.startswith(("/", "@")) or len(name) < 2:
        return None
    raw = os.fsencode(name)
    return b"\0" + raw[1:] if name.startswith("@") else raw


def _every_s(environment: Mapping[str, str]) -> float:
    """Return how often a sign of life is wanted [s]; 0 when it is not, or of another process."""
    micros = whole_number(environment.get("WATCHDOG_USEC", ""))
    whose = environment.get("WATCHDOG_PID", "")
    if not micros or (whose and whose != str(os.getpid())):
        return 0.0
    return micros / 1e6 / _PARTS


def _line(text: str) -> str:
    """Return ``text`` on one line: a line end in it would begin another assignment."""
    return "".join(letter if letter.isprintable() else " " for letter in text[:_MOST_STATUS]).strip()
