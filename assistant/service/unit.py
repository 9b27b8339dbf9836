"""The text of the systemd units of a bay (systemd.service(5), systemd.unit(5), systemd.timer(5)). Pure.

Each begins with a line that has the SHA-256 of what follows, so that a unit that a person changed is known from one
that is as it was written.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.faults import Fault, quoted

NAME = "assistant-bay"
"""What the service is called where nobody names it."""
WATCHDOG_S = 60
"""Without a sign of life for so long [s] the bay is started again. The loop gives one every second; the slowest
thing that it does at one go, opening a job of a year's journal on a slow disk, took less than ten. Ours."""
STEPS_FROM = 254
"""The version of systemd from which on pauses between starts may grow (RestartSteps in its NEWS, from memory)."""
_FIRST_LINE = "# Written by assistant install-service; sha256 of what follows: "
_NAME = re.compile(r"[a-z][a-z0-9-]{0,40}", re.ASCII)


@dataclass(frozen=True, slots=True)
class UnitFor:
    """What a unit is for: the command ``program``, the data folder ``home``, and the folder ``place`` to start in.

    ``bay`` are more words for ``assistant bay``; ``systemd`` is the version of systemd (0: not known).
    """

    program: Path
    home: Path
    place: Path
    docs: Path
    name: str = NAME
    bay: Sequence[str] = ()
    systemd: int = 0


def name_fault(name: str) -> Fault | None:
    """Return why ``name`` cannot be the name of a service; None when it can."""
    if _NAME.fullmatch(name) and not name.endswith("-doctor"):
        return None
    return Fault(f"{quoted(name)} cannot be the name of a service", "take small letters, digits and hyphens")


def units(wanted: UnitFor) -> dict[str, str]:
    """Return the text of each unit by the name of its file: the bay, the doctor, and the doctor's hours."""
    return {
        f"{wanted.name}.service": marked(_bay(wanted)),
        f"{wanted.name}-doctor.service": marked(_doctor(wanted)),
        f"{wanted.name}-doctor.timer": marked(_timer(wanted)),
    }


WANTED_BY = {".service": "default.target", ".timer": "timers.target"}
"""What starts a unit, by the ending of its file; the doctor's service is started by its timer alone."""


def _bay(it: UnitFor) -> str:
    growing = "RestartSec=2\nRestartSteps=6\nRestartMaxDelaySec=60" if it.systemd >= STEPS_FROM else "RestartSec=10"
    return f"""\
[Unit]
Description=Step assistant: the bay
Documentation={_uri(it.docs / "service.md")}
# The sound server comes first, whichever of the two this computer has.
Wants=pipewire.socket pipewire-pulse.socket pulseaudio.socket
After=pipewire.socket pipewire-pulse.socket wireplumber.service pulseaudio.socket pulseaudio.service
# It is tried for ever: whatever hinders it, somebody mends it, and nobody has to think of this then.
StartLimitIntervalSec=0

[Service]
Type=notify
NotifyAccess=main
Environment={_word(f"ASSISTANT_HOME={it.home}")}
# Each line goes into the log when it is printed.
Environment=PYTHONUNBUFFERED=1
WorkingDirectory={_path(it.place)}
ExecStart={_words([str(it.program), "bay", *it.bay])}
# 130: it was asked to end, and a job is open.
SuccessExitStatus=130
Restart=on-failure
{growing}
# The loop gives a sign of life every few seconds; one that hangs is ended and started again, and offers the open job.
WatchdogSec={WATCHDOG_S}
TimeoutStartSec=180
TimeoutStopSec=30
UMask=0077
StandardInput=null
StandardOutput=journal
StandardError=journal
SyslogIdentifier={it.name}

[Install]
WantedBy={WANTED_BY[".service"]}
"""


def _doctor(it: UnitFor) -> str:
    return f"""\
[Unit]
Description=Step assistant: a look at the bay
Documentation={_uri(it.docs / "service.md")}

[Service]
Type=oneshot
Environment={_word(f"ASSISTANT_HOME={it.home}")}
WorkingDirectory={_path(it.place)}
ExecStart={_words([str(it.program), "doctor", "--watch", "--service", it.name])}
Nice=19
UMask=0077
StandardInput=null
StandardOutput=journal
StandardError=journal
SyslogIdentifier={it.name}-doctor
"""


def _timer(it: UnitFor) -> str:
    return f"""\
[Unit]
Description=Step assistant: a look at the bay every hour
Documentation={_uri(it.docs / "service.md")}

[Timer]
OnStartupSec=10min
OnUnitActiveSec=1h

[Install]
WantedBy={WANTED_BY[".timer"]}
"""


def marked(body: str) -> str:
    """Return ``body`` below the line that tells whether it is as it was written."""
    return f"{_FIRST_LINE}{hashlib.sha256(body.encode()).hexdigest()}\n{body}"


def is_as_written(text: str) -> bool:
    """Return whether a unit is one of ours that nobody has changed since."""
    first, _, body = text.partition("\n")
    return first.startswith(_FIRST_LINE) and text == marked(body)


def is_ours(text: str) -> bool:
    """Return whether a unit was written here, whoever changed it since."""
    return text.startswith(_FIRST_LINE)


def home_of(text: str) -> str:
    """Return the line of a unit that names its data folder; "" when it has none."""
    return next(
        (line for line in text.splitlines() if line.startswith("Environment=") and "ASSISTANT_HOME=" in line), ""
    )


def _words(words: Sequence[str]) -> str:
    return " ".join(_word(word).replace("$", "$$") for word in words)


def _word(word: str) -> str:
    """Return ``word`` as one word of a unit: in quotes where it needs them, "%" doubled (systemd.syntax(7))."""
    escaped = _percent(word).replace("\\", "\\\\").replace('"', '\\"')
    plain = re.fullmatch(r"[A-Za-z0-9_./=:@%+,-]+", escaped)
    return escaped if plain else f'"{escaped}"'


def _path(path: Path) -> str:
    """Return a path that stands alone: nothing is taken out of its quotes there (systemd.exec(5))."""
    return _percent(str(path))


def _percent(text: str) -> str:
    return text.replace("%", "%%")


def _uri(path: Path) -> str:
    return _percent(path.absolute().as_uri())
