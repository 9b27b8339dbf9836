"""When work is due again: due, label, meter."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.cli.options import JobName, MeterNote, takes
from assistant.cli.printing.options import DueOptions, LabelOptions
from assistant.cli.record import NamedJob


@takes(
    within=typer.Option(help="Days that count as coming."),
    ics=typer.Option(metavar="OUT", help="Write a calendar file (RFC 5545) as well."),
)
def due(options: DueOptions) -> None:
    """List what is overdue, due and coming, by machine and procedure, from the last closed job of each."""
    from assistant.cli.printing.due_list import print_due

    raise typer.Exit(print_due(options))


@takes(
    pdf=typer.Option(metavar="OUT", help="A PDF page of the label's size."),
    png=typer.Option(metavar="OUT", help="A picture for a label printer."),
    size=typer.Option(help="Width x height in mm."),
    dpi=typer.Option(help="Dots per inch of the picture: 203, 300 or 600."),
    part=typer.Option(help="What was renewed; the new parts of the job when left out."),
)
def label(options: LabelOptions, job: JobName = "last") -> None:
    """Write a label for the machine: what was renewed, when, at what reading, when again, and the job as a QR code."""
    from assistant.cli.printing.label import write_label

    raise typer.Exit(write_label(job, options))


def meter(
    job: NamedJob,
    value: Annotated[str, typer.Argument(help="What it shows, such as 123456km, 80000mi or 1234.5h.")],
    meter_note: MeterNote = "",
    done: Annotated[
        bool, typer.Option("--done", help="It is what the meter showed when the work was done: left out, or a slip.")
    ] = False,
) -> None:
    """Write down a reading of the machine's meter, of distance or hours, with a job, open or closed.

    A closed job keeps the reading that it was done at: a later one only tells what is due now.
    """
    from assistant.cli.printing.meter import add_meter

    raise typer.Exit(add_meter(job, value, meter_note, done=done))


def add_due(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (due, label, meter):
        app.command()(command)
