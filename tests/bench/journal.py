"""How long the journal takes: ``python -m tests.bench.journal [FOLDER]``. Real SQLite on a real disk.

FOLDER should lie on the disk that the bay's journal lies on; the default is a folder made beside this project's files.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path

from assistant.facts.steps import StepDone
from assistant.journal.opening import open_journal
from tests.jobs import LONG, ROOT, START_S, heard, opening, taken_up, walk
from tests.journal.disk import unsynced

COMMITS = 300
ENTRIES = 2000
MOST_ENTRIES = 22_000
"""A job of several days in which a lot is asked; ten times as much as a long day brings."""
START_MS = round(START_S * 1000)
LIMITS_S = {ENTRIES: 0.25, MOST_ENTRIES: 2.0}
"""How long a resume of a job of so many entries may take [s]."""

ANSWER = [heard("next"), StepDone(step="drain-coolant")]
"""What one *next* keeps."""


def commit_ms(folder: Path) -> list[float]:
    """Return the times of commits [ms], each of one answer on disk, in the order in which they were made."""
    times = []
    with open_journal(folder / "commits") as journal:
        job = journal.create([opening(LONG)[1]], START_MS)
        for _ in range(COMMITS):
            begun = time.perf_counter()
            job.append(ANSWER, START_MS)
            times.append((time.perf_counter() - begun) * 1000)
    return times


def long_job(path: Path, least: int = ENTRIES) -> tuple[str, int]:
    """Put a real job of at least ``least`` entries into the folder ``path``, and return its name and how many it has.

    It is the long demo procedure, with a mechanic who asks a lot.
    """
    session, first = opening(LONG)
    asked = (
        "which bolts",
        "what value",
        "where am i",
        "repeat",
        "what is left",
        "how many",
        "repeat step",
        "which tool",
        "brief me",
    )
    with open_journal(None) as drafts:
        draft = drafts.create(session.open(first, START_S).facts, START_MS)
        for count, _ in enumerate(walk(session, draft, chatter=asked * (2 + least // 1000)), 1):
            if count >= least or (count % 100 == 0 and len(draft.entries()) >= least):
                break
        entries = draft.entries()
    assert len(entries) >= least, f"the demo job has {len(entries)} entries only"
    with open_journal(path) as journal:
        unsynced(journal)  # what is measured is reading
        job = journal.create([entries[0].fact], entries[0].at_ms)
        for at_ms, batch in groupby(entries[1:], key=lambda entry: entry.at_ms):
            job.append([entry.fact for entry in batch], at_ms)
    return job.id, len(entries)


def resume_s(path: Path, name: str) -> tuple[float, float]:
    """Return the time [s] to open the journal, check the job's chain, read it, and build its session again.

    The second figure is the processor time in it [s]: the two differ where other work keeps the machine busy.
    """
    begun, begun_cpu = time.perf_counter(), time.process_time()
    with open_journal(path) as journal:
        job = journal.hold(name, START_MS)
        session = taken_up(job.entries())
        taken = time.perf_counter() - begun, time.process_time() - begun_cpu
        assert not session.closed
    return taken


def lines(folder: Path) -> list[str]:
    """Measure in ``folder`` and return one line for each figure."""
    commits = sorted(commit_ms(folder))
    return [
        f"journal commit: median {statistics.median(commits):.1f} ms, 95th percentile {_p95(commits):.1f} ms "
        f"({len(commits)} commits of one answer, on disk)",
        *(_resume_line(folder / f"{least}", least, limit) for least, limit in LIMITS_S.items()),
    ]


def _resume_line(path: Path, least: int, limit: float) -> str:
    name, count = long_job(path, least)
    resumes, cpu = zip(*(resume_s(path, name) for _ in range(5)), strict=True)
    return (
        f"resume of a job of {count} entries: median {statistics.median(resumes):.2f} s, worst {max(resumes):.2f} s, "
        f"processor time {statistics.median(cpu):.2f} s ({len(resumes)} times; must be under {limit} s)"
    )


def _p95(ordered: Sequence[float]) -> float:
    return ordered[int(len(ordered) * 0.95)]


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print("\n".join(lines(Path(sys.argv[1]))))
    else:
        with tempfile.TemporaryDirectory(dir=ROOT) as made:
            print("\n".join(lines(Path(made))))
