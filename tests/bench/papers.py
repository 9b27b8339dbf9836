"""How long papers take: the record of a job of 2,000 entries, and the history of 1,000 jobs. Real SQLite, real files.

Times are those of the whole command, from reading the journal to the bytes of the file, without the start of Python.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from assistant.cli.printing.history import _jobs
from assistant.journal.opening import open_journal
from assistant.report.history import history_csv, history_of
from assistant.report.pdf import html_to_pdf
from assistant.report.record.made import make
from tests.bench.figures import Figure, Tell
from tests.bench.journal import long_job
from tests.bench.live_bay import ROOT
from tests.jobs import SHORT, work
from tests.journal.disk import unsynced

JOBS = 1000


def many_jobs(path: Path) -> None:
    """Put JOBS copies of a whole short job into the folder ``path``."""
    with open_journal(path) as journal:
        unsynced(journal)  # what is measured is reading
        entries = journal.read(work(journal, SHORT, asset="Van 1")).entries
        for number in range(1, JOBS):
            day = 86_400_000 * (number % 300)
            opened = replace(entries[0].fact, asset=f"Van {number % 90}")
            job = journal.create([opened], entries[0].at_ms + day)
            job.append([entry.fact for entry in entries[1:]], entries[-1].at_ms + day)
            job.close()


def _took(work_it: Callable[[], object]) -> tuple[float, float]:
    begun, cpu = time.perf_counter(), time.process_time()
    work_it()
    return time.perf_counter() - begun, time.process_time() - cpu


def figures(tell: Tell) -> list[Figure]:
    """Measure and return the figures."""
    with tempfile.TemporaryDirectory(dir=ROOT, prefix=".bench-") as made:
        folder = Path(made)
        tell("making a long job")
        name, count = long_job(folder / "long")
        tell("making many jobs")
        many_jobs(folder / "many")

        def record(form: str) -> bytes:
            with open_journal(folder / "long", read_only=True) as journal:
                assert journal.verify(name).good
                return make(name, journal.read(name).entries, paper="a4").form(form)

        def history() -> str:
            with open_journal(folder / "many", read_only=True) as journal:
                found = history_of(_jobs(journal, "", rehearsals=False))
            assert found.jobs == JOBS
            return history_csv(found)

        html_to_pdf("<p>x")  # loads the library
        found = []
        for what, limit, work_it in (
            (f"Record of a job of {count} entries, HTML", 2.0, lambda: record("html")),
            (f"Record of a job of {count} entries, PDF", 10.0, lambda: record("pdf")),
            (f"History of {JOBS} jobs", 5.0, history),
        ):
            tell(what)
            wall, cpu = _took(work_it)
            found.append(Figure(what, wall, "s", limit, f"processor time {cpu:.2f} s"))
        return found
