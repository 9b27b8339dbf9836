"""Which bay listens to a microphone: a lock that the kernel frees when its process dies.

A sound server gives one microphone to as many programs as ask, and two bays on one would both act on each word. The
lock lies in the user's runtime folder and is named by the device, so it holds for all data folders of that user.
"""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import json
import os
import stat
import tempfile
from pathlib import Path

from assistant.voice.ports import VoiceFault

OF_THE_SERVER = frozenset({"default", "pulse", "pipewire", "sysdefault"})
"""Names under which a sound server offers the microphone that it prefers: all of them mean one."""
_FOLDER = "step-assistant"
_LOCKS = Path("/proc/locks")


class HeldElsewhere(VoiceFault):
    """Another bay listens to the microphone."""


class MicrophoneHold:
    """Keeps other bays from one microphone, from :meth:`take` until :meth:`release` or the end of the process."""

    def __init__(self, bay: str) -> None:
        """Hold nothing yet; ``bay`` is what tells this bay from others: its data folder."""
        self._bay = bay
        self._path: Path | None = None
        self._fd = -1

    def take(self, device: str) -> None:
        """Hold the microphone called ``device``, and let go another one that was held.

        Raises:
            HeldElsewhere: another process has it; the sentence says which, and what to do.
            VoiceFault: the lock cannot be made.
        """
        path = _file(device)
        if path == self._path:
            return
        fd = _locked(path, device)
        self.release()
        self._path, self._fd = path, fd
        with contextlib.suppress(OSError):  # a full disk: the lock is what counts
            os.truncate(fd, 0)
            os.pwrite(fd, json.dumps({"process": os.getpid(), "bay": self._bay}).encode(), 0)

    def release(self) -> None:
        """Let it go; the file stays, for who removed it would let a third one in."""
        if self._fd >= 0:
            os.close(self._fd)
        self._path, self._fd = None, -1


def holder_of(device: str) -> str:
    """Return which bay and process listens to the microphone called ``device``; "" where none does.

    It is read from the kernel's list of locks: who tried the lock itself would keep a bay out for that moment.

    Raises:
        VoiceFault: the folder of the locks cannot be looked into.
    """
    path = _file(device)
    try:
        process = json.loads(path.read_text("utf-8"))["process"]
        number = path.stat().st_ino
        lines = [line.split() for line in _LOCKS.read_text("utf-8").splitlines()]
    except (OSError, ValueError, TypeError, KeyError):
        return ""
    # "1: FLOCK  ADVISORY  WRITE 4711 00:1a:815 0 EOF": proc_locks(5)
    held = any(
        words[1] == "FLOCK" and words[4] == str(process) and words[5].endswith(f":{number}")
        for words in lines
        if len(words) > 5
    )
    return _who(path) if held else ""


def _locked(path: Path, device: str) -> int:
    """Return the file at ``path``, locked."""
    try:
        fd = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC | os.O_NOFOLLOW, 0o600)
    except OSError as fault:
        raise VoiceFault(f"{path} cannot be made ({fault.strerror}): see who owns that folder.") from fault
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as fault:
        os.close(fd)
        if isinstance(fault, BlockingIOError):
            raise HeldElsewhere(_sentence(device, _who(path))) from fault
        raise VoiceFault(f"{path} cannot be locked ({fault.strerror}): see on what disk that folder lies.") from fault
    with contextlib.suppress(OSError):  # nobody tidies away what is sticky (XDG Base Directory Specification 0.8)
        os.fchmod(fd, 0o600 | stat.S_ISVTX)
    return fd


def _who(path: Path) -> str:
    try:
        noted = json.loads(path.read_text("utf-8"))
        return f"the bay in {noted['bay']} (process {noted['process']})"
    except (OSError, ValueError, TypeError, KeyError):
        return "another bay"  # it began in this moment, or its disk is full


def _sentence(device: str, who: str) -> str:
    return (
        f'The microphone "{device}" is listened to by {who}, and two bays with one microphone would both act on each '
        "word: name another with --microphone (`assistant devices` lists them), or end that bay first (Control-C, or "
        "as a service: systemctl --user stop assistant-bay)."
    )


def _file(device: str) -> Path:
    """Return the file of the lock for the microphone called ``device``."""
    name = " ".join(device.split())
    if name in OF_THE_SERVER:  # which one that is, is the server's to know, and may be asked for by its own variables
        name = " ".join(("default", *(os.environ.get(one, "") for one in ("PULSE_SERVER", "PULSE_SOURCE"))))
    return _folder() / f"microphone-{hashlib.sha256(name.encode()).hexdigest()[:16]}.lock"


def _folder() -> Path:
    """Return the folder of the locks of this user.

    Raises:
        VoiceFault: it cannot be made, or is another user's.
    """
    user = os.getuid()
    given = os.environ.get("XDG_RUNTIME_DIR", "")
    for runtime in (Path(given) if given else None, Path(f"/run/user/{user}")):
        if runtime is not None and runtime.is_dir() and os.access(runtime, os.W_OK | os.X_OK):
            folder = runtime / _FOLDER
            break
    else:
        folder = Path(tempfile.gettempdir()) / f"{_FOLDER}-{user}"
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        found = folder.lstat()
    except OSError as fault:
        raise VoiceFault(f"{folder} cannot be made ({fault.strerror}): see who owns the folder above it.") from fault
    if found.st_uid != user or not stat.S_ISDIR(found.st_mode):
        raise VoiceFault(f"{folder} is not a folder of yours: remove it, or set XDG_RUNTIME_DIR to a folder that is.")
    return folder
