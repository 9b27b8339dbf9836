"""After the job: its record, corrections, and the check of both."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.cli import completing
from assistant.cli.options import JobName, takes
from assistant.cli.printing.options import RecordOptions

NamedJob = Annotated[
    str,
    typer.Argument(
        metavar="JOB", help='The job\'s name, its beginning, or "last".', autocompletion=completing.known_jobs
    ),
]


@takes(
    html=typer.Option(metavar="OUT", help="One HTML file, to read and to print."),
    pdf=typer.Option(metavar="OUT", help="A PDF."),
    json=typer.Option(metavar="OUT", help="Everything as JSON."),
    csv=typer.Option(metavar="OUT", help="Every entry as a line of CSV."),
    out=typer.Option(metavar="DIR", help="Write all four forms into this folder."),
)
def record(options: RecordOptions, job: JobName = "last") -> None:
    """Write the record of a job: what was done, by whom, with what, how it was confirmed, and what is open.

    It is made from the journal alone. What was not done or not confirmed is shown as such.
    """
    from assistant.cli.printing.record.write import write_record

    raise typer.Exit(write_record(job, options))


def verify(
    what: Annotated[
        str,
        typer.Argument(
            metavar="RECORD|JOB", help="A record file, or a job in the journal.", autocompletion=completing.known_jobs
        ),
    ] = "last",
) -> None:
    """Check that nothing was changed: a job's chain, or a record file letter by letter against its job.

    The exit code is 0 when all fits, 11 when something was changed, and 6 when it cannot be read or is not known.
    """
    from assistant.cli.printing.record.check import verify_record

    raise typer.Exit(verify_record(what))


def correct(
    job: NamedJob,
    entry: Annotated[int, typer.Option(help="Number of the entry that is wrong; see: assistant show.")],
    text: Annotated[str, typer.Option(help="What is right, in your own words.")],
    operator: Annotated[str, typer.Option(help="Who corrects it.")] = "",
) -> None:
    """Correct an entry: a new one is added that names it; the old one stays as it is, and both are in the record."""
    from assistant.cli.printing.record.write import add_correction

    raise typer.Exit(add_correction(job, entry, text, operator))


def supply(
    job: NamedJob,
    item: Annotated[str, typer.Argument(metavar="SUPPLY", help="Id of the supply or spare in the procedure.")],
    batch: Annotated[str, typer.Option(help="Batch or lot, as it is printed on the pack.")] = "",
    expires: Annotated[str, typer.Option(help="Last day of use, as 2027-01-31 or 2027-01.")] = "",
) -> None:
    """Write down the batch and the expiry of a supply that a job used."""
    from assistant.cli.printing.record.write import add_supply

    raise typer.Exit(add_supply(job, item, batch, expires))


def forget_personal(
    job: NamedJob,
    yes: Annotated[bool, typer.Option("--yes", help="It is meant: this cannot be undone.")] = False,
) -> None:
    """Remove the personal data of a closed job for good: names, asset, customer, paths, dictated words, kept sound.

    What was done stays in the journal, and its chain fits as before.
    """
    from assistant.cli.printing.forget import forget_job

    raise typer.Exit(forget_job(job, sure=yes))


def add_record(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (record, verify, correct, supply):
        app.command()(command)
    app.command("forget")(forget_personal)
