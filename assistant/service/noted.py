"""The note of the last backup, which the doctor looks at."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from assistant.files import FileFault, private_file, read_file, whole_number

NOTE = "last-backup.json"
"""The file of the note, in the data folder."""
_MOST_BYTES = 10_000


@dataclass(frozen=True, slots=True)
class LastBackup:
    """When the last backup was made [ms since the epoch], and into which file."""

    at_ms: int
    file: str


def note_backup(folder: Path, last: LastBackup) -> None:
    """Keep ``last`` in the data folder; where it cannot be kept the backup is good all the same."""
    with suppress(OSError):
        private_file(folder / NOTE).write_text(json.dumps(asdict(last)), "utf-8")


def last_backup(folder: Path) -> LastBackup | None:
    """Return what is noted in the data folder; None when nothing is that can be read."""
    data = read_file(folder / NOTE, _MOST_BYTES, "a note")
    if isinstance(data, FileFault):
        return None
    try:
        kept = json.loads(data)
        at_ms, file = whole_number(str(kept["at_ms"])), str(kept["file"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return None if at_ms is None else LastBackup(at_ms, file)
