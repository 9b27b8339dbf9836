"""Asks systemd: its version, whether it runs here, how a service is. The one place that starts its programs."""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

_BOOTED = Path("/run/systemd/system")
"""It is there exactly where systemd is the service manager: sd_booted(3)."""
_ANSWER_S = 10.0
_PROPERTIES = ("LoadState", "ActiveState", "SubState", "Result", "NRestarts", "StatusText")


def is_booted() -> bool:
    """Return whether systemd runs this computer."""
    return _BOOTED.is_dir()


def version() -> int:
    """Return the version of systemd [whole number]; 0 when it is not installed."""
    found = re.match(r"systemd (\d{2,4})\b", _asked(["systemctl", "--version"]) or "")
    return int(found[1]) if found else 0


def units_folder() -> Path:
    """Return where the units of a user lie (systemd.unit(5))."""
    given = os.environ.get("XDG_CONFIG_HOME", "")
    return (Path(given) if given else Path.home() / ".config") / "systemd" / "user"


def reload() -> bool:
    """Let the user's manager read its units again; return whether there is one that did."""
    return _asked(["systemctl", "--user", "daemon-reload"]) is not None


def stop(files: Sequence[str]) -> bool:
    """Stop the user's units in ``files``; return whether there was a manager that did."""
    return _asked(["systemctl", "--user", "stop", *files]) is not None


@dataclass(frozen=True, slots=True)
class Shown:
    """How a service is: ``active`` and ``sub`` as systemd calls them, ``restarts`` since it was started."""

    active: str
    sub: str
    result: str
    restarts: int
    status: str


def service_shown(name: str) -> Shown | None:
    """Return how the user's service ``name`` is; None when there is none, or nobody to ask."""
    words = ["systemctl", "--user", "show", f"{name}.service", *(f"--property={one}" for one in _PROPERTIES)]
    return parsed(_asked(words) or "")


def parsed(text: str) -> Shown | None:
    """Return what ``systemctl show`` printed; None when it knows no such service."""
    told = dict(line.split("=", 1) for line in text.splitlines() if "=" in line)
    if told.get("LoadState") != "loaded":
        return None
    restarts = told.get("NRestarts", "")
    return Shown(
        told.get("ActiveState", ""),
        told.get("SubState", ""),
        told.get("Result", ""),
        int(restarts) if restarts.isdecimal() else 0,
        told.get("StatusText", ""),
    )


def lingers(user: str) -> bool:
    """Return whether the manager of ``user`` runs without a log-in (loginctl(1), enable-linger)."""
    return bool(user) and (Path("/var/lib/systemd/linger") / user).exists()


def _asked(words: Sequence[str]) -> str | None:
    """Return what a program prints; None when it is not there, does not answer or complains."""
    try:
        done = subprocess.run(  # noqa: S603 - words of ours, and a name that name_fault let through
            words, capture_output=True, text=True, timeout=_ANSWER_S, stdin=subprocess.DEVNULL, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout if done.returncode == 0 else None
