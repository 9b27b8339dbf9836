"""Single flipped bits in a real journal, and what becomes of them: ``python -m tests.journal.flips [COUNT] [SEED]``."""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from assistant.journal.port import Entry, JournalFault
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import SHORT, work

HARMLESS = ("found", "same")


def made(folder: Path) -> tuple[bytes, dict[str, list[tuple]]]:
    """Return a journal of two jobs, one closed and one open, and what is in it."""
    path = folder / "whole.sqlite"
    journal = SqliteJournal(path)
    work(journal, SHORT, asset="Van 7", operator="Kim")
    work(journal, SHORT, most=40, asset="Van 8")
    journal.close()
    return path.read_bytes(), contents(path)


def contents(path: Path) -> dict[str, list[tuple]]:
    """Return every entry of every job, as it is read."""
    journal = SqliteJournal(path, read_only=True)
    try:
        return {job.id: seen(journal.read(job.id).entries) for job in list(journal.scan())}
    finally:
        journal.close()


def seen(entries: Sequence[Entry]) -> list[tuple]:
    """Return all that ``entries`` say."""
    return [(entry.seq, entry.at_ms, entry.kind, entry.data, entry.hash) for entry in entries]


def flipped(data: bytes, rng: random.Random) -> tuple[bytes, int]:
    """Return ``data`` with one bit changed, and which."""
    bit = rng.randrange(len(data) * 8)
    changed = bytearray(data)
    changed[bit // 8] ^= 1 << bit % 8
    return bytes(changed), bit


def outcome(path: Path, data: bytes, whole: dict[str, list[tuple]]) -> str:
    """Return what became of the journal ``data``, which was ``whole``: put at ``path``, read, and opened to go on.

    "found" when verify or the opening says so in a sentence, "same" when everything is read as it was written, "cut"
    when verify calls good what is not all of it, "resumed" when such a job could be gone on with, and the exception
    where anything else than a sentence came out.
    """
    path.write_bytes(data)
    try:
        said_good, read = _read(path, whole)
        goes_on = _resumed(path, whole)
    except Exception as fault:  # noqa: BLE001 - whatever comes out of it is what is looked for
        return f"{type(fault).__name__}: {fault}"[:90]
    if goes_on:
        return "resumed"
    if read == whole:
        return "same"
    return "cut" if said_good else "found"


def _read(path: Path, whole: dict[str, list[tuple]]) -> tuple[bool, dict[str, list[tuple]] | None]:
    try:
        journal = SqliteJournal(path, read_only=True)
    except JournalFault:
        return False, None
    good = True
    try:
        for job in whole:
            good = journal.verify(job).good and good
    except JournalFault:
        good = False
    finally:
        journal.close()
    try:
        return good, contents(path)
    except JournalFault:
        return False, None


def _resumed(path: Path, whole: dict[str, list[tuple]]) -> bool:
    """Return whether a job could be gone on with although not all of it is there."""
    try:
        journal = SqliteJournal(path)
    except JournalFault:
        return False
    try:
        for name, entries in whole.items():
            try:
                job = journal.hold(name, entries[-1][1])
            except JournalFault:
                continue
            try:
                if [entry.hash for entry in job.entries()] != [entry[-1] for entry in entries]:
                    return True
            finally:
                job.close()
    finally:
        journal.close()
    return False


def counted(folder: Path, count: int, seed: int) -> Counter[str]:
    """Return how many of ``count`` flips came out how; what is not HARMLESS is printed with its bit."""
    data, whole = made(folder)
    rng = random.Random(seed)
    found: Counter[str] = Counter()
    for number in range(count):
        changed, bit = flipped(data, rng)
        here = folder / f"{number % 8}"
        shutil.rmtree(here, ignore_errors=True)
        here.mkdir()
        what = outcome(here / "journal.sqlite", changed, whole)
        found[what] += 1
        if what not in HARMLESS:
            print(f"bit {bit} of byte {bit // 8} of {len(data)}: {what}", flush=True)
    return found


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    with tempfile.TemporaryDirectory() as made_here:
        print(dict(counted(Path(made_here), *(numbers + [4000, 1][len(numbers) :]))))
