"""What is there: jobs, show, missing, devices, procedures, phrases."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from assistant.cli.options import AsJson, JobName


def jobs(as_json: AsJson = False) -> None:
    """List the jobs in the journal, newest first: name, state, when opened, last entry, entries, procedure."""
    from assistant.cli.printing.lists import print_jobs

    raise typer.Exit(print_jobs(as_json=as_json))


def show(
    job: JobName = "last",
    behind: Annotated[
        int | None, typer.Option(min=0, help="Only the entries behind this one: what came since then.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Print a job's journal entry by entry, and check its chain; reads only, and works on a damaged journal too."""
    from assistant.cli.printing.lists import print_entries

    raise typer.Exit(print_entries(job, behind=behind, as_json=as_json))


class ListForm(StrEnum):
    """How a list is printed."""

    TEXT = "text"
    JSON = "json"
    CSV = "csv"


def list_missing(
    job: JobName = "last",
    form: Annotated[ListForm, typer.Option("--format", help="How it is printed.")] = ListForm.TEXT,
    as_json: AsJson = False,
) -> None:
    """List what was missing in the preparation of a job: since when, and when it was found."""
    from assistant.cli.printing.missing_list import print_missing

    raise typer.Exit(print_missing(job, "json" if as_json else form.value))


def devices(as_json: AsJson = False) -> None:
    """List the microphones and loudspeakers with the numbers and names that the options take."""
    from assistant.cli.printing.lists import print_devices

    raise typer.Exit(print_devices(as_json=as_json))


def procedures(as_json: AsJson = False) -> None:
    """List the procedures that came with the program; their names stand for their files."""
    from assistant.cli.printing.doctor import print_procedures

    raise typer.Exit(print_procedures(as_json=as_json))


def list_phrases(as_json: AsJson = False) -> None:
    """Print every phrase that can be spoken, and what it does."""
    from assistant.cli.printing.phrases import print_phrases

    raise typer.Exit(print_phrases(as_json=as_json))


def add_lists(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (jobs, show):
        app.command()(command)
    app.command("missing")(list_missing)
    for command in (devices, procedures):
        app.command()(command)
    app.command("phrases")(list_phrases)
