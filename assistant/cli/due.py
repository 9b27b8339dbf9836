"""When work is due again: due, label, odometer."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import JobName, OdometerNote
from assistant.cli.record import NamedJob, Replace


def due(
    within: Annotated[int, typer.Option(help="Days that count as coming.")] = 60,
    ics: Annotated[Path | None, typer.Option(metavar="OUT", help="Write a calendar file (RFC 5545) as well.")] = None,
    rehearsals: Annotated[bool, typer.Option("--rehearsals", help="Count rehearsals as well.")] = False,
    force: Replace = False,
) -> None:
    """List what is overdue, due and coming, by machine and procedure, from the last closed job of each."""
    from assistant.bay.due_list import print_due

    raise typer.Exit(print_due(within, ics, rehearsals=rehearsals, force=force))


def label(
    job: JobName = "last",
    pdf: Annotated[Path | None, typer.Option(metavar="OUT", help="A PDF page of the label's size.")] = None,
    png: Annotated[Path | None, typer.Option(metavar="OUT", help="A picture for a label printer.")] = None,
    size: Annotated[str, typer.Option(help="Width x height in mm.")] = "63.5x38.1",
    dpi: Annotated[int, typer.Option(help="Dots per inch of the picture: 203, 300 or 600.")] = 300,
    part: Annotated[str, typer.Option(help="What was renewed; the new parts of the job when left out.")] = "",
    force: Replace = False,
) -> None:
    """Write a label for the machine: what was renewed, when, at what reading, when again, and the job as a QR code."""
    from assistant.bay.label import write_label

    raise typer.Exit(write_label(job, pdf, png, size=size, part=part, dpi=dpi, force=force))


def odometer(
    job: NamedJob,
    value: Annotated[str, typer.Argument(help="What it shows, such as 123456km, 80000mi or 1234.5h.")],
    odometer_note: OdometerNote = "",
) -> None:
    """Write down a reading of the odometer or hour meter with a job, open or closed."""
    from assistant.bay.job_card import add_odometer

    raise typer.Exit(add_odometer(job, value, odometer_note))


def add(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (due, label, odometer):
        app.command()(command)
