"""Shows whether a forgotten job is gone from every copy, and takes it out of the files of the store."""

from __future__ import annotations

from pathlib import Path

from assistant.cli.printing.workshop import admin_linked, when
from assistant.terminal.exits import Exit
from assistant.workshop.administering import the_workshop
from assistant.workshop.forgetting import ForgottenJob, forgotten_jobs, sweep
from assistant.workshop.proving import resolved

_NO_TIME = 24 * 3600.0
"""Tables may be written anew for so long [s]."""


def print_forgotten(at: str, password_file: Path | None, workshop: str, job: str) -> Exit:
    """Print of the forgotten jobs of ``workshop``, or of ``job`` alone, where they are gone and where not."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        job = resolved(link, workshop, job) if job else ""
        found = forgotten_jobs(link, workshop, job)
    if not found:
        print(f"Job {job} was not forgotten." if job else f"No job of {workshop} was forgotten.")
        return Exit.OK
    for one in found:
        _print_job(one)
    return Exit.OK if all(one.everywhere for one in found) else Exit.DIFFERENT


def _print_job(one: ForgottenJob) -> None:
    print(f"Job {one.job}, forgotten by {one.by}: {'gone everywhere' if one.everywhere else 'not gone everywhere yet'}")
    left = f"{one.photos} of its photos still there" if one.photos else "no photo of it is there"
    print(f"  the store: gone {when(one.gone_at)}; {left}")
    swept = f"gone {when(one.swept_at)}" if one.swept_at else "not yet; run: assistant workshop vacuum"
    print(f"  the files of the store: {swept}")
    for copy in one.copies:
        gone = f"gone {when(copy.gone_at)}" if copy.gone_at else "not confirmed; it goes when that bay is reached"
        print(f"  {copy.bay}, which has it since {when(copy.fetched_at)}: {gone}")


def print_swept(at: str, password_file: Path | None, wait_s: float) -> Exit:
    """Take forgotten jobs out of the files of the store."""
    with admin_linked(at, password_file, _NO_TIME) as link:
        done = sweep(link, wait_s)
    if not done:
        print("Nothing that was forgotten is left in the files of the store.")
        return Exit.OK
    for workshop, job in done:
        print(f"Out of the files of the store: {workshop}, job {job}")
    print("Write-ahead logs of the server, and backups of before, hold it until they go: see docs/workshop.md.")
    return Exit.OK
