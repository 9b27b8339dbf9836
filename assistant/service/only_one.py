"""One bay in one data folder: a lock that the kernel frees when its process dies."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from assistant.files import private_folder
from assistant.terminal.exits import Exit, Refusal

LOCK = "bay.lock"
"""The file of the lock, in the data folder."""


@contextmanager
def the_only_bay(folder: Path) -> Iterator[None]:
    """Be the only one that has the bay in the data folder ``folder`` while the block runs.

    Raises:
        Refusal: another process has it, or the lock cannot be made.
    """
    try:
        private_folder(folder)
        lock = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as fault:
        sentence = f"The bay in {folder} cannot be begun ({fault.strerror}): see who owns that folder."
        raise Refusal(sentence, Exit.JOURNAL) from fault
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as fault:
            raise Refusal(
                f"Another process has the bay in {folder}: end it first (a service with systemctl --user stop "
                "assistant-bay), or set ASSISTANT_HOME to another bay's data folder.",
                Exit.BUSY,
            ) from fault
        yield
    finally:
        os.close(lock)  # the file stays: who removed it would let a third one in
