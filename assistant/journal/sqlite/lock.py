"""Tells whether the holder of a job is alive on this machine: a lock that the kernel frees when its process dies."""

from __future__ import annotations

import contextlib
import fcntl
import os
from pathlib import Path

from assistant.journal.leasing import busy_here
from assistant.journal.sqlite.faults import explain


class JobLock:
    """Stands for one job being held, from the moment it is made until ``release``."""

    def __init__(self, journal: Path, job: str, folder: Path) -> None:
        """Take the lock of ``job`` in the journal at ``journal``, by a file in ``folder``, at once.

        Raises:
            JobBusy: another process has it.
            JournalFault: the lock file cannot be made.
        """
        self._path = _file(journal, job, folder)
        self._fd = -1
        try:
            while self._fd < 0:
                self._fd = self._take(job)
        except OSError as fault:
            raise explain(fault, journal) from fault
        self._journal, self._job = journal, job

    def keep(self) -> None:
        """Make sure that the lock still keeps others out: one whose file was removed from outside is taken anew.

        Raises:
            JobBusy: another process took it in the meantime.
            JournalFault: the lock file cannot be made.
        """
        if self._fd < 0 or self._is_ours(self._fd):
            return
        try:
            while (new := self._take(self._job)) < 0:
                pass
        except OSError as fault:
            raise explain(fault, self._journal) from fault
        os.close(self._fd)
        self._fd = new

    def _take(self, job: str) -> int:
        """Return the locked file, or -1 when its last owner removed it in that moment."""
        fd = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        try:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as fault:
            os.close(fd)
            raise busy_here(job) from fault
        if self._is_ours(fd):
            return fd
        os.close(fd)
        return -1

    def _is_ours(self, fd: int) -> bool:
        try:
            return os.path.samestat(os.fstat(fd), self._path.stat())
        except FileNotFoundError:
            return False

    def release(self) -> None:
        """Free the lock and remove its file; who opened the file just before sees that it is gone and makes another."""
        if self._fd >= 0:
            with contextlib.suppress(OSError):  # a file that stays is only untidy: the lock is what counts
                if self._is_ours(self._fd):  # else it is another one's lock by now
                    self._path.unlink(missing_ok=True)
            os.close(self._fd)
            self._fd = -1


def is_running(pid: int) -> bool:
    """Return whether there is a process ``pid`` on this machine; to look at the lock itself would be to take it."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:  # it is somebody else's
        return True
    return True


def _file(journal: Path, job: str, folder: Path) -> Path:
    return folder / f"{journal.name}.{job}.lock"
