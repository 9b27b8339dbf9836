"""Makes a golden journal, notes the digests of their records, or prints a record; see ``__init__``."""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
from pathlib import Path

from tests.journal.golden import FOLDER, NAMES, RECORDS, digest, dumped, record_of, summary, written
from tests.journal.golden.maker import Maker
from tests.journal.golden.making import JOBS


def make(name: str) -> None:
    """Do the job ``name`` and keep it."""
    kept = FOLDER / f"{name}.sql"
    if kept.exists():
        sys.exit(f"{kept.name} is there, and is kept for good: give a new journal a new name.")
    with tempfile.TemporaryDirectory(prefix="practice-bay-") as folder:
        JOBS[name](Maker(Path(folder)))
        kept.write_text(dumped(Path(folder)), "utf-8")
        kept.with_suffix(".json").write_text(written(summary(Path(folder))), "utf-8")


def records() -> None:
    """Note the digest of the record of each golden journal."""
    with tempfile.TemporaryDirectory() as folder:
        found = {name: digest(record_of(name, Path(folder) / name)) for name in NAMES}
    RECORDS.write_text(json.dumps(found, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    os.environ["TZ"] = "UTC"
    time.tzset()
    match sys.argv[1:]:
        case ["--records"]:
            records()
        case ["--record", name] if name in NAMES:
            with tempfile.TemporaryDirectory() as folder:
                sys.stdout.write(record_of(name, Path(folder)))
        case [name] if name in JOBS:
            make(name)
        case _:
            sys.exit(f"usage: python -m tests.journal.golden ({' | '.join(JOBS)} | --records | --record NAME)")
