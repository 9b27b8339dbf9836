"""The job of a rehearsal, on a recording or typed: opened anew and marked as one, or an open rehearsal that goes on."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from assistant.bay.exits import Exit
from assistant.bay.job import OpenJob, Refusal, journal_path, open_job, resume_job
from assistant.events import Limits
from assistant.journal.sqlite import SqliteJournal
from assistant.procedure.reader import Reading
from assistant.settings import Settings


def rehearsal_job(
    journal: SqliteJournal,
    job: str,
    reading: Reading,
    procedure: Path,
    *,
    settings: Settings,
    limits: Limits,
    now: float,
    options: Mapping[str, Any],
    about_job: Mapping[str, Any],
) -> OpenJob:
    """Open a rehearsal of what was read from ``procedure`` at ``now`` [s since the epoch], or go on with ``job``.

    ``options`` are those of the command line, ``about_job`` what the job card says.

    Raises:
        JournalFault: it cannot be kept, or there is no such job.
        Refusal: the tool file has errors, or the job is closed.
    """
    if job:
        tools, operator = (options.get(name) or "" for name in ("tools", "operator"))
        return resume_job(journal, job, limits, now, tools, operator)
    facts = {**about_job, "rehearsal": True, "procedure_path": str(procedure.absolute())}
    return open_job(journal, reading, procedure.name, settings, limits, now, **facts)


def end_of(job: str, reading: Reading) -> float:
    """Return the time [s since the epoch] of the last entry of ``job``, which may be ahead of the clock on the wall.

    Raises:
        Refusal: it is no rehearsal of the procedure that was read.
        JournalFault: it cannot be read.
    """
    journal = SqliteJournal(journal_path(), read_only=True)
    try:
        entries = journal.entries(job)
    finally:
        journal.close()
    opened = entries[0].data
    if not opened.get("rehearsal"):
        raise Refusal(f"Job {job} is no rehearsal; go on with: assistant resume {job}", Exit.USAGE)
    if reading.procedure is not None and opened["procedure_sha256"] != reading.procedure.sha256:
        sentence = f"Job {job} was opened with another content of {opened['procedure_file']}; give that file, unchanged"
        raise Refusal(sentence, Exit.USAGE)
    return entries[-1].at_ms / 1000


def to_the_millisecond(seconds: float) -> float:
    """Return ``seconds`` as the journal keeps them, so that a replay sees the very same times."""
    return round(seconds * 1000) / 1000
