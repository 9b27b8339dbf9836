"""systemd's part for one service: it reads the unit, starts what that says, hears the notify socket, starts it again.

No systemd runs where the tests do. What a unit means is by systemd.service(5), systemd.exec(5), systemd.syntax(7) and
sd_notify(3), from memory. Left out: the order among units, and the pause before another start.
"""

from __future__ import annotations

import contextlib
import os
import shlex
import signal
import socket
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

_PATH = "/usr/local/bin:/usr/bin:/bin"
_PID = 'export WATCHDOG_PID=$$; exec "$@"'
"""What a shell does in the place of systemd between fork and exec: the service knows that the watchdog means itself."""


class Unit:
    """What a service's unit says."""

    def __init__(self, text: str) -> None:
        """Read it; sections do not matter here, since no key stands in two of them."""
        pairs = [line.split("=", 1) for line in text.splitlines() if "=" in line and not line.startswith("#")]
        self._values = {key: value for key, value in pairs if key != "Environment"}
        (self.command,) = [_words(value.replace("$$", "$")) for key, value in pairs if key == "ExecStart"]
        self.environment = dict(
            word.split("=", 1) for key, value in pairs if key == "Environment" for word in _words(value)
        )
        self.place = Path(self["WorkingDirectory"].replace("%%", "%"))

    def __getitem__(self, key: str) -> str:
        return self._values[key]

    def starts_again(self, code: int) -> bool:
        """Return whether the service is started again when it has ended with ``code`` (negative: by that signal)."""
        assert self["Restart"] == "on-failure"
        clean = {0, -signal.SIGHUP, -signal.SIGINT, -signal.SIGTERM, -signal.SIGPIPE}
        return code not in clean | {int(one) for one in self["SuccessExitStatus"].split()}


class NotifySocket:
    """Where a service tells how it is; ``told`` is what it has told so far."""

    def __init__(self, folder: Path) -> None:
        """Listen at an address in ``folder``."""
        self.address = folder / f"notify-{os.urandom(4).hex()}"
        self._socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self._socket.bind(str(self.address))
        self._socket.setblocking(False)
        self.told: list[str] = []

    def hears(self, what: str) -> bool:
        """Take what was told, and return whether ``what`` is in it."""
        while True:
            try:
                self.told.append(self._socket.recv(4096).decode())
            except BlockingIOError:
                return any(what in line for line in self.told)

    def close(self) -> None:
        """Listen no more."""
        self._socket.close()


def start(unit: Unit, notify: NotifySocket, manager: Mapping[str, str], **streams: Any) -> subprocess.Popen[Any]:
    """Start the service of ``unit``: nothing of the environment of the tests reaches it but what is in ``manager``."""
    assert unit["Type"] == "notify"
    assert unit["StandardInput"] == "null"
    environment = {
        "PATH": _PATH, **manager, **unit.environment,
        "NOTIFY_SOCKET": str(notify.address), "WATCHDOG_USEC": f"{int(unit['WatchdogSec']) * 1_000_000}",
    }  # fmt: skip
    return subprocess.Popen(
        ["/bin/sh", "-c", _PID, "sh", *unit.command],
        env=environment, cwd=unit.place, umask=int(unit["UMask"], 8), stdin=subprocess.DEVNULL,
        start_new_session=True, **streams,
    )  # fmt: skip


def kill(process: subprocess.Popen[Any]) -> int:
    """Kill the service as ``kill -9`` does, then what is left of its processes, as systemd does; return its code."""
    process.kill()
    code = process.wait()
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    return code


def _words(line: str) -> Sequence[str]:
    return [word.replace("%%", "%") for word in shlex.split(line)]
