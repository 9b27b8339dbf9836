"""The job of a rehearsal, on a recording or typed: opened anew and marked as one, or an open rehearsal that goes on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from assistant.bay.job_opening import OpenJob, open_job, resume_job
from assistant.bay.runner import Screen
from assistant.events import Limits
from assistant.journal.opening import open_journal
from assistant.journal.port import Journal
from assistant.procedure.format.reader import Reading
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit, Refusal

if TYPE_CHECKING:
    from assistant.bay.display import DisplayOptions


def rehearsal_job(
    journal: Journal,
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


def shown(
    display_options: DisplayOptions | None, procedures: Path, out: TextIO, work: Callable[[Screen | None], Exit]
) -> Exit:
    """Do ``work`` with a display to show its views on, if there are options for one; the way to it is told on ``out``.

    ``procedures`` is the folder that its desk pages list.

    Raises:
        Refusal: it cannot be served there.
    """
    if display_options is None:
        return work(None)
    from assistant.bay.display import Display  # noqa: PLC0415 - the web libraries are loaded only when needed

    display = Display(display_options, procedures=procedures)
    try:
        print(display.invitation(), file=out, flush=True)
        return work(display.board)
    finally:
        display.close()


def end_of(job: str, reading: Reading) -> float:
    """Return the time [s since the epoch] of the last entry of ``job``, which may be ahead of the clock on the wall.

    Raises:
        Refusal: it is no rehearsal of the procedure that was read.
        JournalFault: it cannot be read.
    """
    with open_journal(home(), read_only=True) as journal:
        opened, entries = journal.first(job).data, journal.read(job).entries
    if not opened.get("rehearsal"):
        raise Refusal(f"Job {job} is no rehearsal; go on with: assistant resume {job}", Exit.USAGE)
    if opened["procedure_sha256"] != reading.usable.sha256:
        sentence = f"Job {job} was opened with another content of {opened['procedure_file']}; give that file, unchanged"
        raise Refusal(sentence, Exit.USAGE)
    return entries[-1].at_ms / 1000


def to_the_millisecond(seconds: float) -> float:
    """Return ``seconds`` as the journal keeps them, so that a replay sees the very same times."""
    return round(seconds * 1000) / 1000
