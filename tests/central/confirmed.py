"""What a bay confirmed aloud, as its log has it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from assistant.journal.port import Entry


class Confirmed(NamedTuple):
    """One entry that was confirmed."""

    job: str
    seq: int
    hash: str


def log_line(job: str, entry: Entry) -> bytes:
    """Return the line for ``entry`` of ``job``."""
    return f"{job} {entry.seq} {entry.hash}\n".encode("ascii")


def confirmed_in(path: Path) -> Iterator[Confirmed]:
    """Yield what the log at ``path`` has; a last line that is not whole was not said."""
    if not path.exists():
        return
    for line in path.read_bytes().splitlines(keepends=True):
        parts = line.split()
        if line.endswith(b"\n") and len(parts) == 3 and len(parts[2]) == 64:
            yield Confirmed(parts[0].decode("ascii"), int(parts[1]), parts[2].decode("ascii"))
