"""What is there: jobs, show, devices, phrases."""

from __future__ import annotations

import typer

from assistant.cli.options import JobName


def jobs() -> None:
    """List the jobs in the journal, newest first: name, state, place, procedure."""
    from assistant.bay.lists import print_jobs

    raise typer.Exit(print_jobs())


def show(job: JobName = "last") -> None:
    """Print a job's journal entry by entry, and check its chain; reads only, and works on a damaged journal too."""
    from assistant.bay.lists import print_entries

    raise typer.Exit(print_entries(job))


def devices() -> None:
    """List the microphones and loudspeakers with the numbers and names that the options take."""
    from assistant.bay.lists import print_devices

    raise typer.Exit(print_devices())


def phrases() -> None:
    """Print every phrase that can be spoken, and what it does."""
    from assistant.bay.lists import print_phrases

    raise typer.Exit(print_phrases())


def add(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (
        jobs,
        show,
        devices,
        phrases,
    ):
        app.command()(command)
