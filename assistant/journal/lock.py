"""One writer for a job: an advisory lock on a file beside the journal; the kernel frees it when a process dies."""

from __future__ import annotations

import fcntl
import os
from pathlib import Path

from assistant.journal.faults import explain
from assistant.journal.port import JobBusy


class JobLock:
    """Holds one job from the moment it is made until ``release``."""

    def __init__(self, journal: Path, job: str) -> None:
        """Take the lock of ``job`` at once.

        Raises:
            JobBusy: another process has it.
            JournalFault: the lock file cannot be made.
        """
        path = journal.with_name(f"{journal.name}.{job}.lock")
        try:
            self._fd = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        except OSError as fault:
            raise explain(fault, journal) from fault
        try:
            fcntl.flock(self._fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as fault:
            os.close(self._fd)
            raise JobBusy(
                f"Job {job} is being worked on by another process of the assistant on this machine; end that one first."
            ) from fault

    def release(self) -> None:
        """Free the lock; the file stays, for removing it would race with the next owner."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1
